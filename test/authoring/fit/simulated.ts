/**
 * Invented swimmers drawn from the network of a rule set: causes by their priors, mechanisms and findings by what brings
 * them about, each finding then reported by an eye that errs as often as the rules say a sure one does. Written from the definition of a noisy-OR, apart from the code under test.
 */
import type { LabelledCase } from '../../../src/contract/calibration.ts';
import type { RuleSet } from '../../../src/knowledge/rule-set.ts';
import { random } from '../../forward-model/random.ts';

type Side = 'left' | 'right' | 'body';
const key = (code: string, side: Side): string => (side === 'body' ? code : `${code}@${side}`);
const sides = (sided: boolean): Side[] => (sided ? ['left', 'right'] : ['body']);

/** @param truth words of links and findings that the swimmers really follow */
export function simulate(
  truth: RuleSet,
  look: ReadonlySet<string>,
  count: number,
  seed: number,
): LabelledCase[] {
  const r = random(seed);
  const chance = (p: number): boolean => r.between(0, 1) < p;
  const { parts } = truth;
  const { words, reports } = parts.constants;
  // a report of 15 dB is wrong once in 33 looks, one of 20 dB once in 101
  const wrong = (how: string): number =>
    1 / (1 + 10 ** (reports.certaintyDb[how === 'filmed' ? 'filmed' : 'asked'].sure / 10));
  const sidedCause = new Map(parts.causes.map((c) => [c.code, c.sided]));

  return Array.from({ length: count }, (_, i): LabelledCase => {
    const there = new Set<string>();
    for (const cause of parts.causes.filter((c) => c.role === 'root'))
      for (const side of sides(cause.sided))
        if (chance(words.prior[cause.prior?.intermediate as string] as number))
          there.add(key(cause.code, side));
    // drivers before driven: a few rounds over all reach the end of each chain, each mechanism drawn once
    const mechanisms = parts.causes.filter((c) => c.role === 'mechanism');
    const drawn = new Map<string, number>();
    for (const m of mechanisms)
      for (const side of sides(m.sided)) drawn.set(key(m.code, side), r.between(0, 1));
    for (let round = 0; round < 8; round++) {
      for (const m of mechanisms)
        for (const side of sides(m.sided)) {
          const leak = words.background[m.background as string] as number;
          let none = 1 - leak;
          for (const d of parts.drivers.filter((e) => e.infer && e.driven === m.code)) {
            const shows = Math.max(words.shows[d.shows] as number, leak + 0.02);
            const active = sides(sidedCause.get(d.driver) ?? false).some(
              (s) => (s === 'body' || side === 'body' || s === side) && there.has(key(d.driver, s)),
            );
            if (active) none *= 1 - (shows - leak) / (1 - leak);
          }
          if ((drawn.get(key(m.code, side)) as number) < 1 - none) there.add(key(m.code, side));
        }
    }
    const observations = parts.findings
      .filter((f) => look.has(f.code))
      .flatMap((f) =>
        sides(f.sided).map((side) => {
          const leak = words.background[f.background] as number;
          let none = 1 - leak;
          for (const { event } of parts.links.filter((l) => l.event.params.finding === f.code)) {
            const { cause, shows, side: rule } = event.params;
            const active = sides(sidedCause.get(cause) ?? false).some((s) => {
              const match = rule === 'same' ? s === side : rule === 'opposite' ? s !== side : true;
              return match && there.has(key(cause, s));
            });
            if (active) none *= 1 - ((words.shows[shows] as number) - leak) / (1 - leak);
          }
          return {
            code: f.code,
            ...(side === 'body' ? {} : { side }),
            severity: chance(1 - none) !== chance(wrong(f.how)) ? (2 as const) : (0 as const),
            certainty: 'sure' as const,
          };
        }),
      );
    return {
      request: { swimmer: { ref: `SIM-${i}`, level: 'intermediate' }, observations },
      // experts name causes; what comes between a cause and a finding they take as read
      causes: [...there]
        .filter((k) => !drawn.has(k))
        .sort()
        .map((k) => {
          const [code, side] = k.split('@') as [string, Side?];
          return side === undefined ? { code } : { code, side };
        }),
    };
  });
}
