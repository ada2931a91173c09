/** The words of plans that the contract and the rule sets share. */

export const PLAN_WEEKS = [4, 6, 8] as const;
/** work: something to change; keep: nothing to fix; wait: look again first; hold: a clinician comes first. */
export const PLAN_KINDS = ['work', 'keep', 'wait', 'hold'] as const;
/** Understand, make steady, use at pace; then the weeks for filming, a race, keeping, looking again and holding. */
export const PLAN_STAGES = [
  'acquire',
  'consolidate',
  'apply',
  'compare',
  'race',
  'keep',
  'wait',
  'hold',
] as const;
export const PLAN_OUTCOMES = [
  'refer',
  'pause',
  'film-again',
  'close',
  'keep',
  'change-drill',
  'doubt-cause',
  'assess-again',
] as const;
