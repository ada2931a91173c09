/** The oracle itself: the package bayesjs must reproduce networks that others have published. */
import { describe, expect, test } from 'vitest';
import { ENGINES, exactly, networkOf, node, probability } from './exact-engine.ts';
import { randomNetwork } from './random-networks.ts';
import { enumerate } from './small-network.ts';
import { TREE } from './worked-networks.ts';

const engines = Object.keys(ENGINES) as (keyof typeof ENGINES)[];

// Russell and Norvig, Artificial Intelligence: A Modern Approach, figure of the burglar alarm
const burglary = networkOf([
  node('burglary', [], () => 0.001),
  node('earthquake', [], () => 0.002),
  node('alarm', ['burglary', 'earthquake'], (t) =>
    t.has('burglary') ? (t.has('earthquake') ? 0.95 : 0.94) : t.has('earthquake') ? 0.29 : 0.001,
  ),
  node('john', ['alarm'], (t) => (t.has('alarm') ? 0.9 : 0.05)),
  node('mary', ['alarm'], (t) => (t.has('alarm') ? 0.7 : 0.01)),
]);

// Lauritzen and Spiegelhalter 1988, table of the chest clinic ("Asia")
const asia = networkOf([
  node('asia', [], () => 0.01),
  node('smoke', [], () => 0.5),
  node('tub', ['asia'], (t) => (t.has('asia') ? 0.05 : 0.01)),
  node('lung', ['smoke'], (t) => (t.has('smoke') ? 0.1 : 0.01)),
  node('bronc', ['smoke'], (t) => (t.has('smoke') ? 0.6 : 0.3)),
  node('either', ['lung', 'tub'], (t) => (t.size > 0 ? 1 : 0)),
  node('xray', ['either'], (t) => (t.has('either') ? 0.98 : 0.05)),
  node('dysp', ['bronc', 'either'], (t) =>
    t.has('bronc') ? (t.has('either') ? 0.9 : 0.8) : t.has('either') ? 0.7 : 0.1,
  ),
]);

// the example of the package's own README: 0.2000 and 0.2920
const sprinkler = networkOf([
  node('rain', [], () => 0.2),
  node('sprinkler', ['rain'], (t) => (t.has('rain') ? 0.01 : 0.4)),
]);

describe.each(engines)('published networks by %s', (engine) => {
  test('burglary given both calls: .284 (tests of aimacode/aima-python)', () => {
    const p = probability(burglary, 'burglary', { john: 'yes', mary: 'yes' }, engine);
    expect(p).toBeCloseTo(0.284_171_835_36, 10);
  });

  test.each([
    ['tub', 0.087_751, 0.092_411],
    ['lung', 0.099_525, 0.488_711],
    ['bronc', 0.811_402, 0.506_326],
  ])('chest clinic, %s given a visit to Asia and dyspnoea %d, given an X-ray %d', (name, visit, xray) => {
    expect(probability(asia, name, { asia: 'yes', dysp: 'yes' }, engine)).toBeCloseTo(visit, 6);
    expect(probability(asia, name, { xray: 'yes' }, engine)).toBeCloseTo(xray, 6);
  });

  test('rain, nothing known and with the sprinkler off', () => {
    expect(probability(sprinkler, 'rain', {}, engine)).toBeCloseTo(0.2, 10);
    expect(probability(sprinkler, 'rain', { sprinkler: 'no' }, engine)).toBeCloseTo(0.292_035_4, 7);
  });
});

test('three causes with uncertain reports, as the junction tree of bayesjs answered before', () => {
  const exact = exactly(TREE);
  expect(exact.get('A')).toBeCloseTo(0.832_226_170_4, 10);
  expect(exact.get('B')).toBeCloseTo(0.479_147_929_8, 10);
  expect(exact.get('C')).toBeCloseTo(0.097_024_740_9, 10);
});

test('junction tree and enumeration of all combinations agree on random networks with uncertain reports', () => {
  for (let seed = 1; seed <= 12; seed++) {
    const small = randomNetwork(seed, { causes: 4, mechanisms: 1, findings: 5, links: 3, tree: false });
    const byEngine = exactly(small);
    for (const [name, p] of enumerate(small)) expect(byEngine.get(name)).toBeCloseTo(p, 10);
  }
});
