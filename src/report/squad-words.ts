/** What the lane plan and the swimmers' sheets share. */
import { bodyPartWords, sideWords } from '../assess/phrases.ts';
import type { Apart, GroupMember, SquadCaution } from '../contract/squad.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';

/** A sentence of the rule set by its key. */
export type Say = (key: string, values?: { readonly [name: string]: string }) => string;

/** The texts of a swimmer's notes of some kinds. */
export const notesOf = (
  member: GroupMember,
  ...kinds: readonly GroupMember['notes'][number]['kind'][]
): string[] => member.notes.filter((n) => kinds.includes(n.kind)).map((n) => n.text);

/** What a clinician should see first, in words. */
export const partsOf = ({ restrictions }: Apart, ruleSet: RuleSet): string =>
  [
    ...new Set(restrictions.map((r) => `${bodyPartWords(ruleSet, r.bodyPart)}${sideWords(ruleSet, r.side)}`)),
  ].join(', ');

/** The cautions that say what to do now, where a health sign stops. */
export const stopsOf = ({ ref }: Apart, cautions: readonly SquadCaution[]): SquadCaution[] =>
  cautions.filter((c) => c.class === 'stop-now' && c.members.includes(ref));
