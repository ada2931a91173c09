/**
 * The shipped network against a second program: five records worked out by a reference implementation that was
 * written before this service, from the same description of the method. The fixtures hold its numbers.
 */
import { readFile } from 'node:fs/promises';
import { describe, expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import { gatherEvidence } from '../../src/assess/evidence.ts';
import { readFacts } from '../../src/assess/facts.ts';
import { keyOf, readFindings } from '../../src/assess/findings.ts';
import { weigh } from '../../src/assess/network/weigh.ts';
import { runFlowNow } from '../../src/assess/pipeline.ts';
import { toRecord } from '../../src/assess/record.ts';
import type { FullAnswer } from '../../src/contract/answer.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { loadAll } from '../../src/knowledge/load.ts';
import { compileRuleSet, type RuleSet } from '../../src/knowledge/rule-set.ts';

interface Golden {
  readonly level: AssessmentRequest['swimmer']['level'];
  readonly flags: string[];
  readonly observations: NonNullable<AssessmentRequest['observations']>;
  readonly measurements: NonNullable<AssessmentRequest['measurements']>;
  /** Weight in dB of all reports on a finding. */
  readonly reports: { readonly [finding: string]: number };
  /** Log-odds in dB, not limited. */
  readonly causes: { readonly [cause: string]: number };
  /** Causes (no mechanisms) that are probable and spoken for, with their 90 % range before the limit. */
  readonly shown: { readonly [cause: string]: readonly [low: number, high: number] };
}

const CASES = ['01', '02', '03', '04', '05'];
const LIMIT_DB = 20;

const [shipped] = await loadAll('rules');
if (shipped === undefined) throw new Error('no rule set');

/**
 * The reference gives a line on which both sides tie to the left side. The service shares it, because left and right
 * must be mirror images; everything else is the same, so the reference is met with its own rule for ties.
 */
const { constants } = shipped.parts;
const ruleSet = compileRuleSet(
  shipped.manifest,
  { ...shipped.parts, constants: { ...constants, propagation: { ...constants.propagation, ties: 'first' } } },
  shipped.texts,
);

async function read(number: string): Promise<{ golden: Golden; request: AssessmentRequest }> {
  const file = new URL(`fixtures/golden-case-${number}.json`, import.meta.url);
  const golden = JSON.parse(await readFile(file, 'utf8')) as Golden;
  const { level, flags, observations, measurements } = golden;
  return { golden, request: { swimmer: { level }, recording: { flags }, observations, measurements } };
}

const limited = (db: number): number => Math.max(-LIMIT_DB, Math.min(LIMIT_DB, db));

async function answerTo(request: AssessmentRequest): Promise<FullAnswer> {
  const answer = await assess(request, ruleSet as RuleSet);
  if (answer.status === 'stop') throw new Error('no health sign was given');
  return answer;
}

describe.each(CASES)('reference case %s', async (number) => {
  const { golden, request } = await read(number);
  const record = toRecord(request, ruleSet);
  const { slots, entries } = readFacts(record, ruleSet);
  const findings = runFlowNow(readFindings(slots, entries, record.recording.flags ?? [], ruleSet));
  const evidence = runFlowNow(gatherEvidence(slots, findings, ruleSet));
  const { network, beliefs } = weigh(findings, evidence, record.swimmer.level, ruleSet);

  test('weighs the same findings, to 1e-9 dB', () => {
    expect([...findings.keys()].sort()).toEqual(Object.keys(golden.reports).sort());
    for (const [key, db] of Object.entries(golden.reports)) {
      expect(Math.abs(findings.get(key)!.db - db), key).toBeLessThan(1e-9);
    }
  });

  test('gives every cause and mechanism the same log-odds, to 1e-6 dB', () => {
    // causes that were added since may stand beside the reference's own, and must not disturb them
    expect([...network.nodeOf.keys()]).toEqual(expect.arrayContaining(Object.keys(golden.causes)));
    for (const [key, db] of Object.entries(golden.causes)) {
      expect(Math.abs(beliefs.logOddsDb[network.nodeOf.get(key)!]! - db), key).toBeLessThan(1e-6);
    }
  });

  test('sharing ties, as the service does, moves no cause by more than 0.1 dB', () => {
    const shared = weigh(findings, evidence, record.swimmer.level, shipped);
    for (const [key, db] of Object.entries(golden.causes)) {
      const node = shared.network.nodeOf.get(key)!;
      expect(Math.abs(shared.beliefs.logOddsDb[node]! - db), key).toBeLessThan(0.1);
    }
  });

  test('lists the same causes in the answer', async () => {
    const { causes } = await answerTo(request);
    expect(causes.map((c) => keyOf(c.code, c.side)).sort()).toEqual(Object.keys(golden.shown).sort());
  });

  test('every listed cause and mechanism has lines that add up to its total and probability', async () => {
    const answer = await answerTo(request);
    const listed = [...answer.causes, ...answer.mechanisms];
    expect(listed.length).toBeGreaterThan(0);
    for (const cause of listed) {
      const key = keyOf(cause.code, cause.side);
      const sum = cause.trail.reduce((total, line) => total + line.db, 0);
      expect(Math.abs(sum - cause.totalDb), key).toBeLessThan(1e-9);
      expect(Math.abs(cause.totalDb - limited(golden.causes[key]!)), key).toBeLessThan(1e-6);
      expect(cause.probability, key).toBeCloseTo(1 / (1 + 10 ** (-cause.totalDb / 10)), 12);
    }
  });

  test('gives the same 90 % range wherever the total is not at its limit', async () => {
    const { causes } = await answerTo(request);
    const free = causes.filter((c) => Math.abs(c.totalDb) < LIMIT_DB);
    expect(free.length).toBeGreaterThan(0);
    for (const { code, side, range } of free) {
      const [low, high] = golden.shown[keyOf(code, side)]!;
      expect(range.low, code).toBeCloseTo(low, 8);
      expect(range.high, code).toBeCloseTo(high, 8);
    }
  });
});
