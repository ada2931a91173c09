/** JSON Schemas of the files of a rule set, so that an editor completes and checks while a rule author types. */
import { z } from 'zod';
import { Manifest, PARTS } from '../knowledge/parts.ts';
import { Texts } from '../knowledge/texts.ts';
import { Case } from './cases.ts';

const FILES: { readonly [file: string]: z.ZodType } = {
  'rule-set': Manifest,
  ...PARTS,
  texts: Texts,
  cases: z.array(Case),
};

/** @returns one JSON Schema (draft 2020-12) for each kind of file, by the name of the file. */
export function schemasOfRuleFiles(): { readonly [file: string]: object } {
  return Object.fromEntries(
    Object.entries(FILES).map(([file, schema]) => [file, z.toJSONSchema(schema, { io: 'input' })]),
  );
}
