/** How a draft addresses the parts of a rule set: the name of a part is the name of its file. */
import { z } from 'zod';
import { Manifest, PARTS } from '../../knowledge/parts.ts';
import { Texts } from '../../knowledge/texts.ts';
import { Case } from '../cases.ts';

/** Where the words of an entry stand in the language file, for the parts whose entries have words. */
const TEXT_SECTION: { readonly [part: string]: readonly string[] } = {
  observations: ['observations'],
  'quality-flags': ['qualityFlags'],
  measurements: ['measurements'],
  findings: ['findings'],
  causes: ['causes'],
  links: ['links'],
  drivers: ['drivers'],
  modifiers: ['modifiers'],
  reports: ['reports'],
  deductions: ['deductions'],
  principles: ['principles'],
  drills: ['drills'],
  cautions: ['cautions'],
  'caution-rules': ['cautionRules'],
  'gate-rules': ['gate'],
  'drill-exclusions': ['exclusions'],
  'sufficiency-rules': ['sufficiency'],
  sessions: ['sessions'],
  'change-limits': ['changeLimits'],
  'plan-rules': ['plans', 'rules'],
  'plan-decisions': ['plans', 'decisions'],
};

export const sectionOf = (part: string): readonly string[] | undefined => TEXT_SECTION[part];

/** The part whose words stand at a place of the language file, and how many steps lead to the name of the entry. */
export function partAt(
  path: readonly PropertyKey[],
): { readonly part: string; readonly steps: number } | undefined {
  for (const [part, section] of Object.entries(TEXT_SECTION))
    if (section.every((step, i) => path[i] === step)) return { part, steps: section.length };
  return undefined;
}

/** A patch of the language file that touches the words of one entry. */
export const wordsPatch = (section: readonly string[], name: string, words: unknown): unknown =>
  [...section, name].reduceRight((inner, step) => ({ [step]: inner }), words);

/** A part that is a list of entries, each with a name of its own. */
export interface ListPart {
  readonly element: z.ZodType;
  /** The field that names an entry. */
  readonly key: 'code' | 'id';
}

function listPart(schema: z.ZodType): ListPart | undefined {
  if (!(schema instanceof z.ZodArray)) return undefined;
  const element = schema.element as z.ZodType;
  return { element, key: element instanceof z.ZodObject && 'code' in element.shape ? 'code' : 'id' };
}

const all: readonly (readonly [string, z.ZodType])[] = [
  ['rule-set', Manifest],
  ...Object.entries(PARTS),
  ['texts', Texts],
  ['cases', z.array(Case)],
];

export const LIST_PARTS: ReadonlyMap<string, ListPart> = new Map(
  all.flatMap(([name, schema]) => {
    const part = listPart(schema);
    return part === undefined ? [] : [[name, part] as const];
  }),
);

/** The parts that are one object each. */
export const OBJECT_PARTS: ReadonlyMap<string, z.ZodType> = new Map(
  all.filter(([name]) => !LIST_PARTS.has(name)),
);

export const DRAFT_PARTS: readonly string[] = all.map(([name]) => name);
