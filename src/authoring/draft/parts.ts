/** How a draft addresses the parts of a rule set: the name of a part is the name of its file. */
import { z } from 'zod';
import { Manifest, PARTS } from '../../knowledge/parts.ts';
import { Texts } from '../../knowledge/texts.ts';
import { Case } from '../cases.ts';

/** Where the words of an entry stand in the language file, for the parts whose entries have words. */
const TEXT_SECTION: { readonly [part: string]: keyof Texts } = {
  observations: 'observations',
  'quality-flags': 'qualityFlags',
  measurements: 'measurements',
  findings: 'findings',
  causes: 'causes',
  links: 'links',
  drivers: 'drivers',
  modifiers: 'modifiers',
  reports: 'reports',
  deductions: 'deductions',
  principles: 'principles',
  drills: 'drills',
  cautions: 'cautions',
  'caution-rules': 'cautionRules',
  'gate-rules': 'gate',
  'drill-exclusions': 'exclusions',
  'sufficiency-rules': 'sufficiency',
  sessions: 'sessions',
};

export const sectionOf = (part: string): keyof Texts | undefined => TEXT_SECTION[part];
export const partOfSection = (section: string): string | undefined =>
  Object.keys(TEXT_SECTION).find((part) => TEXT_SECTION[part] === section);

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
