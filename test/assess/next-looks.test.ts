/** What a look promises is what the record would say after it: brute force over the answers themselves. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import type { AssessmentAnswer, FullAnswer, NextLook } from '../../src/contract/answer.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { requests } from './arbitraries.ts';
import { concluded, fullAnswer, probabilities, ruleSet, withoutLooks, workedCases } from './front-crawl.ts';

/** The stages settle to 1e-9 dB from wherever the entries stand in the record. */
const SETTLED = 1e-9;

type CauseBelief = NextLook['now'][number];
const keyOf = (b: CauseBelief): string => (b.side === 'body' ? b.cause : `${b.cause}@${b.side}`);
const entropy = (p: number): number =>
  p <= 0 || p >= 1 ? 0 : -p * Math.log2(p) - (1 - p) * Math.log2(1 - p);
const bitsOf = (beliefs: readonly CauseBelief[]): number =>
  beliefs.reduce((sum, b) => sum + entropy(b.probability), 0);

const lookedAt = (request: AssessmentRequest, look: NextLook, severity: 0 | 2): AssessmentRequest =>
  withoutLooks({
    ...request,
    observations: [
      ...(request.observations ?? []),
      {
        code: look.code,
        side: look.side,
        severity,
        certainty: 'likely',
        view: look.view as 'side-under',
      },
    ],
  });

const adviceOf = (answer: AssessmentAnswer): unknown => [
  answer.status,
  answer.status === 'stop' ? [] : answer.focus.map((f) => [f.cause, f.side]),
];

async function expectBeliefs(actual: readonly CauseBelief[], request: AssessmentRequest): Promise<void> {
  const known = probabilities(await concluded(request));
  for (const belief of actual) {
    const distance = Math.abs(belief.probability - (known.get(keyOf(belief)) as number));
    expect(distance, `${keyOf(belief)} is off`).toBeLessThanOrEqual(SETTLED);
  }
}

/** The chance of "seen" on a first look: what the causes predict, seen through a look that errs now and then. */
async function chanceOf(look: NextLook, request: AssessmentRequest): Promise<number> {
  const key = keyOf({ cause: look.code, side: look.side, probability: 0 });
  const { weighed } = await concluded(request);
  const { findings } = await concluded(lookedAt(request, look, 2));
  const { network } = weighed;
  const child = network.childOf.get(key) as number;
  // the two sides of one cause are one rival: the likelier side counts
  const perCause = new Map<string, number>();
  for (const pair of network.pairs.filter((p) => p.child === child)) {
    const cause = network.nodes[pair.node]?.code as string;
    const raw = 1 / (1 + 10 ** (-(weighed.beliefs.logOddsDb[pair.node] as number) / 10));
    perCause.set(cause, Math.max(perCause.get(cause) ?? 0, pair.q * raw));
  }
  const leak = network.children[child]?.leak as number;
  const there = 1 - [...perCause.values()].reduce((none, p) => none * (1 - p), 1 - leak);
  const lambda = 10 ** ((findings.get(key)?.db as number) / 10);
  const hit = lambda / (1 + lambda);
  return hit * there + (1 - hit) * (1 - there);
}

const sampled = fc
  .sample(
    requests({ health: fc.constant({ asked: true }), recording: fc.constant({ views: ['side-under'] }) }),
    { numRuns: 3, seed: 21 },
  )
  .map((request, i): [string, AssessmentRequest] => [`random record ${i + 1}`, request]);
const records: [string, AssessmentRequest][] = [
  ...workedCases.map((c): [string, AssessmentRequest] => [c.id, c.request]),
  ...sampled,
];

describe.each(records)('%s', (_, request) => {
  const asking: AssessmentRequest = { ...request, options: { ...request.options, nextLooks: 20 } };
  const answered: Promise<FullAnswer> = fullAnswer(asking);

  test('tells the beliefs as they are now, if seen and if not seen', async () => {
    const { nextLooks, causes } = await answered;
    expect(nextLooks.length).toBeGreaterThan(5);
    for (const look of nextLooks) {
      await expectBeliefs(look.now, withoutLooks(request));
      await expectBeliefs(look.ifPresent.causes, lookedAt(request, look, 2));
      await expectBeliefs(look.ifAbsent.causes, lookedAt(request, look, 0));
      const inPlay = look.now.map(keyOf);
      expect(look.ifPresent.causes.map(keyOf)).toEqual(inPlay);
      expect(look.ifAbsent.causes.map(keyOf)).toEqual(inPlay);
      const listed = causes.filter((c) => ruleSet.causes.get(c.code)?.role === 'root');
      const keys = listed.map((c) => keyOf({ cause: c.code, side: c.side, probability: 0 }));
      expect(inPlay).toEqual(expect.arrayContaining(keys));
    }
  });

  test('promises the bits that follow from the three lists', async () => {
    for (const look of (await answered).nextLooks) {
      const { probability: p, ifPresent, ifAbsent } = look;
      expect(ifPresent.probability).toBe(p);
      expect(ifAbsent.probability).toBeCloseTo(1 - p, 12);
      const expected = bitsOf(look.now) - p * bitsOf(ifPresent.causes) - (1 - p) * bitsOf(ifAbsent.causes);
      expect(look.bits).toBeCloseTo(Math.max(0, expected), 9);
    }
  });

  test('says whether the advice would change, as two more assessments show', async () => {
    const now = JSON.stringify(adviceOf(await assess(withoutLooks(request), ruleSet)));
    for (const look of (await answered).nextLooks) {
      const [seen, notSeen] = await Promise.all(
        ([2, 0] as const).map((severity) => assess(lookedAt(request, look, severity), ruleSet)),
      );
      const changes = [seen, notSeen].some((a) => JSON.stringify(adviceOf(a as AssessmentAnswer)) !== now);
      expect(look.wouldChangeAdvice, look.code).toBe(changes);
    }
  });

  test('gives the chance that the look shows it', async () => {
    const { nextLooks, findings } = await answered;
    const first = nextLooks.filter((l) => !findings.some((f) => f.code === l.code && f.side === l.side));
    expect(first.length).toBeGreaterThan(0);
    for (const look of first) expect(look.probability).toBeCloseTo(await chanceOf(look, request), 9);
  });

  test('puts the most telling look first, one a code, from a view that can show it', async () => {
    const { nextLooks } = await answered;
    // gains that differ by rounding only tie
    const bits = nextLooks.map((l) => Math.round(l.bits * 1e9));
    expect(bits).toEqual([...bits].sort((a, b) => b - a));
    expect(new Set(nextLooks.map((l) => l.code)).size).toBe(nextLooks.length);
    for (const look of nextLooks) expect(ruleSet.observations.get(look.code)?.views).toContain(look.view);
  });

  test('gives the same first looks when fewer are asked for', async () => {
    const { nextLooks } = await answered;
    const three = await fullAnswer({ ...request, options: { ...request.options, nextLooks: 3 } });
    expect(three.nextLooks).toEqual(nextLooks.slice(0, 3));
    expect((await fullAnswer(withoutLooks(request))).nextLooks).toEqual([]);
  });
});

test('some looks would change the advice and some would not', async () => {
  const looks = await Promise.all(workedCases.map((c) => fullAnswer(c.request)));
  expect(new Set(looks.flatMap((a) => a.nextLooks.map((l) => l.wouldChangeAdvice))).size).toBe(2);
});
