/** What a draft changes against its base, entry by entry, in a coach's words and field by field. */
import type { RuleSet } from '../../knowledge/rule-set.ts';
import type { BuiltDraft, Library } from '../draft/build.ts';
import { LIST_PARTS, OBJECT_PARTS } from '../draft/parts.ts';
import { type FieldChange, fieldChanges } from './fields.ts';
import {
  causeWords,
  deductionWords,
  driverWords,
  findingWords,
  linkWords,
  modifierWords,
  type Versions,
} from './words.ts';

export interface EntryChange {
  readonly part: string;
  /** Name of the entry; the part itself where it is one object. */
  readonly entry: string;
  readonly change: 'added' | 'changed' | 'removed';
  readonly text: string;
  /** What differs; empty where the entry was added or removed. */
  readonly fields: readonly FieldChange[];
}

type Teller = (versions: Versions<never>) => string | undefined;

const TELLERS: { readonly [part: string]: Teller } = {
  links: linkWords,
  findings: findingWords,
  causes: causeWords,
  drivers: driverWords,
  modifiers: modifierWords,
  deductions: deductionWords,
};

/** One of an entry of the part, in words that stand in a sentence. */
const NOUNS: { readonly [part: string]: string } = {
  'rule-set': 'the head of the rule set',
  constants: 'the numbers behind the words',
  lists: 'the fixed lists',
  texts: 'the texts',
  observations: 'the observation',
  'quality-flags': 'the quality flag',
  measurements: 'the measurement',
  findings: 'the finding',
  reports: 'the report',
  causes: 'the cause',
  principles: 'the principle',
  'principle-rules': 'the rule of work',
  drills: 'the drill',
  'drill-exclusions': 'the rule that keeps drills away',
  sessions: 'the session',
  cautions: 'the caution',
  'gate-rules': 'the health rule',
  'caution-rules': 'the caution rule',
  'sufficiency-rules': 'the rule for asking more',
  'change-limits': 'the smallest believable change of',
  cases: 'the case',
};

const shown = (value: unknown): string => {
  const text = value === null ? 'nothing' : JSON.stringify(value);
  return text.length > 80 ? `${text.slice(0, 77)}…` : text;
};

function plainWords(
  part: string,
  entry: string,
  change: EntryChange['change'],
  fields: readonly FieldChange[],
): string {
  const noun = NOUNS[part] ?? `the entry of ${part}`;
  const named = entry === part ? noun : `${noun} "${entry}"`;
  const what = named.charAt(0).toUpperCase() + named.slice(1);
  if (change !== 'changed') return `${what} was ${change}.`;
  if (fields.length === 0) return `${what} is as before.`;
  const told = fields
    .slice(0, 3)
    .map((f) => `${f.pointer.slice(1)} is ${shown(f.after)}, before ${shown(f.before)}`);
  const more = fields.length > told.length ? `; and ${fields.length - told.length} more fields` : '';
  return `${what} changed: ${told.join('; ')}${more}.`;
}

type Entry = { readonly [field: string]: unknown };

function entriesOf(library: Library, part: string): ReadonlyMap<string, Entry> {
  const key = LIST_PARTS.get(part)?.key as string;
  const list = part === 'cases' ? library.cases : library.ruleSet.parts[part as keyof RuleSet['parts']];
  return new Map((list as unknown as readonly Entry[]).map((e) => [e[key] as string, e]));
}

function wordChanges(part: string, before: RuleSet, after: RuleSet): EntryChange[] {
  const of = (r: RuleSet): unknown =>
    part === 'texts'
      ? r.texts
      : part === 'rule-set'
        ? r.manifest.title
        : r.parts[part as keyof RuleSet['parts']];
  const fields = fieldChanges(of(before), of(after));
  if (fields.length === 0) return [];
  return [{ part, entry: part, change: 'changed', text: plainWords(part, part, 'changed', fields), fields }];
}

/** @param base what the draft stands on. */
export function differenceOf(base: Library, draft: BuiltDraft): EntryChange[] {
  const lists = [...LIST_PARTS.keys()].flatMap((part) => {
    const touched = draft.touched.get(part);
    if (touched === undefined) return [];
    const [before, after] = [entriesOf(base, part), entriesOf(draft, part)];
    return [...touched].flatMap(([entry, { change }]): EntryChange[] => {
      const versions = {
        before: before.get(entry),
        after: after.get(entry),
        base: base.ruleSet,
        draft: draft.ruleSet,
      };
      const fields = change === 'changed' ? fieldChanges(versions.before, versions.after) : [];
      const own = TELLERS[part]?.(versions as unknown as Versions<never>);
      const same = change === 'changed' && fields.length === 0;
      const text = same
        ? plainWords(part, entry, change, fields)
        : (own ?? plainWords(part, entry, change, fields));
      return [{ part, entry, change, text, fields }];
    });
  });
  const objects = [...OBJECT_PARTS.keys()].flatMap((part) => wordChanges(part, base.ruleSet, draft.ruleSet));
  return [...objects, ...lists];
}
