/** A chain of mechanisms that nothing speaks about: the prior of its cause must reach its far end. */
import { expect, test } from 'vitest';
import { enumerate, type SmallNetwork, settle } from './small-network.ts';

test('three mechanisms in a row and nothing seen: every one has its exact prior', () => {
  const names = ['r', 'm1', 'm2', 'm3', 'f'];
  const chain: SmallNetwork = {
    causes: { r: 0.3 },
    mechanisms: { m1: 0.05, m2: 0.05, m3: 0.05 },
    findings: { f: 0.05 },
    links: names.slice(1).map((finding, i) => ({ cause: names[i] as string, finding, q: 0.9 })),
    reports: {},
  };
  const settled = settle(chain);
  const exact = enumerate(chain);
  for (const name of ['r', 'm1', 'm2', 'm3']) {
    expect(settled.p(name), name).toBeCloseTo(exact.get(name) as number, 9);
  }
});
