/**
 * The stated standard deviations against an invented swimmer whose true values are known: over many draws the truth must
 * lie within one of them as often as for a normal error (68 %), and within 1.96 of them nearly always.
 */
import { describe, expect, test } from 'vitest';
import { random } from '../forward-model/random.ts';
import { measured } from './front-crawl.ts';
import { type Arm, type Kind, marksOf, type Swim } from './swimmer.ts';

const DRAWS = 200;
/** How far the eye picks wrong, in frames: one to two frames for the start of the pull. */
const CHOICE: Readonly<Record<Kind, number>> = { entry: 0.5, 'pull-start': 1.5, 'mid-pull': 1, exit: 0.5 };

interface Draw {
  readonly swim: Swim;
  readonly raw: unknown;
}

function draw(seed: number): Draw {
  const r = random(seed);
  const cycleSeconds = r.between(1.1, 2.3);
  const arm = () => {
    const pullStart = r.between(0.2, 0.4);
    const midPull = pullStart + r.between(0.14, 0.22);
    return { pullStart, midPull, exit: midPull + r.between(0.16, 0.24) };
  };
  const swim: Swim = {
    cycleSeconds,
    cycles: Math.floor(r.between(2, 7)),
    left: arm(),
    right: arm(),
    offset: r.between(0.44, 0.56),
    start: r.between(0, 1),
  };
  const frameRate = [25, 30, 50, 60, 120][Math.floor(r.between(0, 5))] as number;
  // the swimmer: cycles differ in length by 2 %, and each moment strays by one hundredth of the cycle
  const drift = [0];
  while (drift.length < swim.cycles + 3) drift.push((drift.at(-1) as number) + r.normal(0.02 * cycleSeconds));
  const driftAt = (cycles: number): number => {
    const [k, share] = [Math.floor(cycles), cycles % 1];
    return (drift[k] as number) * (1 - share) + (drift[k + 1] as number) * share;
  };
  const marks = marksOf(swim, (_, __, cycles) => driftAt(cycles) + r.normal(0.0106 * cycleSeconds)).map(
    ({ time, ...m }) => ({
      ...m,
      frame: Math.max(0, Math.round(time * frameRate + r.normal(CHOICE[m.kind]))),
    }),
  );
  return { swim, raw: { frameRate, events: marks } };
}

function truthOf(swim: Swim): Map<string, number> {
  const truth = new Map<string, number>([
    ['stroke-rate|body', 60 / swim.cycleSeconds],
    ['cycle-time|body', swim.cycleSeconds],
  ]);
  for (const arm of ['left', 'right'] as const) {
    const { pullStart, midPull, exit } = swim[arm];
    truth.set(`front-time-share|${arm}`, 100 * pullStart);
    truth.set(`pull-share|${arm}`, 100 * (midPull - pullStart));
    truth.set(`push-share|${arm}`, 100 * (exit - midPull));
    truth.set(`recovery-share|${arm}`, 100 * (1 - exit));
    truth.set(`propulsive-share|${arm}`, 100 * (exit - pullStart));
    truth.set(`underwater-time|${arm}`, exit * swim.cycleSeconds);
  }
  const lagInto = (arm: Arm, exit: number, start: number): number => {
    const lag = 100 * (exit - start);
    truth.set(`coordination-lag|${arm}`, lag);
    return lag;
  };
  const left = lagInto('left', swim.right.exit, swim.offset + swim.left.pullStart);
  const right = lagInto('right', swim.offset + swim.left.exit, 1 + swim.right.pullStart);
  truth.set('coordination-index|body', (left + right) / 2);
  truth.set('coordination-difference|body', right - left);
  const index = (r: number, l: number): number => (200 * (r - l)) / (r + l);
  const under = index(swim.right.exit, swim.left.exit);
  truth.set('underwater-time-asymmetry|left', under);
  truth.set('underwater-time-asymmetry|right', -under);
  truth.set('entry-rhythm-asymmetry|body', Math.abs(index(1 - swim.offset, swim.offset)));
  const propulsive = (a: { exit: number; pullStart: number }): number => a.exit - a.pullStart;
  truth.set('propulsive-asymmetry|body', index(propulsive(swim.right), propulsive(swim.left)));
  return truth;
}

const errors = new Map<string, number[]>();
for (let seed = 1; seed <= DRAWS; seed++) {
  const { swim, raw } = draw(seed);
  const truth = truthOf(swim);
  for (const m of measured(raw).measurements) {
    const own = truth.get(`${m.code}|${m.side}`);
    if (own === undefined) continue;
    errors.set(m.code, [...(errors.get(m.code) ?? []), (m.value - own) / m.standardDeviation]);
  }
}

describe('the truth lies within the stated standard deviation', () => {
  test.each([...errors])('%s', (_code, list) => {
    const within = (limit: number): number => list.filter((z) => Math.abs(z) <= limit).length / list.length;
    expect(list.length).toBeGreaterThanOrEqual(DRAWS * 0.9);
    expect(within(1)).toBeGreaterThanOrEqual(0.58);
    expect(within(1)).toBeLessThanOrEqual(0.78);
    expect(within(1.96)).toBeGreaterThanOrEqual(0.9);
  });
});
