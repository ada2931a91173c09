/** As coverage.test.ts, for the stopwatch, the stroke count and the position trace. */
import { describe, expect, test } from 'vitest';
import { random } from '../forward-model/random.ts';
import { measured } from './front-crawl.ts';

const DRAWS = 200;
type Errors = Map<string, number[]>;

function collect(errors: Errors, raw: unknown, truth: Readonly<Record<string, number>>): void {
  for (const m of measured(raw).measurements) {
    const own = truth[m.code];
    if (own === undefined) continue;
    errors.set(m.code, [...(errors.get(m.code) ?? []), (m.value - own) / m.standardDeviation]);
  }
}

function lengthsErrors(): Errors {
  const errors: Errors = new Map();
  for (let seed = 1; seed <= DRAWS; seed++) {
    const r = random(seed);
    const [speed, strokeLength] = [r.between(0.6, 1.8), r.between(1.1, 2.5)];
    const lengths = Array.from({ length: Math.floor(r.between(1, 7)) }, () => {
      const own = speed * (1 + r.normal(0.01));
      const cycle = strokeLength * (1 + r.normal(0.01));
      const push = { metres: r.between(3, 6), seconds: r.between(1.5, 3) };
      // a hand enters every half cycle; where the first and the last entry fall is chance
      const strokes = Math.floor((25 - push.metres) / (cycle / 2) + r.between(-0.5, 0.5) + r.between(0, 1));
      return {
        metres: 25,
        seconds: push.seconds + (25 - push.metres) / own + r.normal(0.1),
        armStrokes: strokes,
        pushOffMetres: push.metres + r.normal(0.3),
        pushOffSeconds: push.seconds + r.normal(0.2),
      };
    });
    const truth = {
      'swim-speed': speed,
      'stroke-length': strokeLength,
      'stroke-rate': (60 * speed) / strokeLength,
      'stroke-index': speed * strokeLength,
    };
    collect(errors, { lengths }, truth);
  }
  return errors;
}

function traceErrors(): Errors {
  const errors: Errors = new Map();
  for (let seed = 1; seed <= DRAWS; seed++) {
    const r = random(seed);
    const frameRate = r.between(0, 1) < 0.5 ? 50 : 60;
    const cycle = r.between(1.2, 2.2);
    const speed = r.between(0.7, 1.7);
    const swing = r.between(0.15, 0.35);
    const noise = r.between(0.002, 0.008);
    const cycles = Math.floor(r.between(3, 9));
    let [metres, phase, own] = [0, 0, r.normal(0.028)];
    const samples: { frame: number; metres: number }[] = [];
    const entries = [0];
    for (let frame = 0; entries.length <= cycles; frame++) {
      samples.push({ frame: frame + 10, metres: metres + r.normal(noise) });
      // two swings a cycle, one of each arm, and not quite the same in every cycle
      if (phase >= entries.length) {
        entries.push(frame);
        own = r.normal(0.028);
      }
      metres += (speed * (1 + (swing + own) * Math.sin(4 * Math.PI * phase))) / frameRate;
      phase += 1 / (cycle * frameRate);
    }
    const events = entries.map((frame) => ({ arm: 'right', kind: 'entry', frame: frame + 10 }));
    const raw = { frameRate, events, positions: { point: 'hip', samples } };
    collect(errors, raw, { 'speed-variation': (100 * swing) / Math.SQRT2 });
  }
  return errors;
}

describe.each([
  ['timed lengths', lengthsErrors()],
  ['a position trace', traceErrors()],
])('%s', (_, errors) => {
  test.each([...errors])('%s: the truth lies within the stated standard deviation', (_code, list) => {
    const within = (limit: number): number => list.filter((z) => Math.abs(z) <= limit).length / list.length;
    expect(list.length).toBe(DRAWS);
    expect(within(1)).toBeGreaterThanOrEqual(0.58);
    expect(within(1)).toBeLessThanOrEqual(0.78);
    expect(within(1.96)).toBeGreaterThanOrEqual(0.9);
  });
});
