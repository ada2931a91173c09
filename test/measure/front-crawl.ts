/** The shipped rule set, and short ways to ask for measurements. */
import type { Message } from '../../src/contract/answer.ts';
import type { TakenMeasurement } from '../../src/contract/measured.ts';
import { RawData } from '../../src/contract/raw-data.ts';
import { loadAll } from '../../src/knowledge/load.ts';
import type { RuleSet } from '../../src/knowledge/rule-set.ts';
import { type Measured, measure } from '../../src/measure/measure.ts';

const sets = await loadAll(new URL('../../rules', import.meta.url).pathname);
export const ruleSet = sets.find((s) => s.manifest.name === 'front-crawl') as RuleSet;

/** Measures after the check that every request goes through. */
export function measured(raw: unknown): Measured {
  return measure(RawData.parse(raw), ruleSet);
}

export const found = (answer: Measured, code: string, side?: string): TakenMeasurement | undefined =>
  answer.measurements.find((m) => m.code === code && (side === undefined || m.side === side));

export function valueIn(answer: Measured, code: string, side?: string): number {
  const one = found(answer, code, side);
  if (one === undefined)
    throw new Error(`no ${code} ${side ?? ''} among ${answer.measurements.map((m) => m.code).join(', ')}`);
  return one.value;
}

export const said = (answer: Measured, code: string): Message | undefined =>
  answer.messages.find((m) => m.code === code);
