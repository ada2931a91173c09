/** Words recovered from records that were drawn from a network with known words. */
import { beforeAll, describe, expect, test } from 'vitest';
import { fitRuleSet } from '../../../src/authoring/fit/fit.ts';
import { rowsOf } from '../../../src/authoring/fit/rows.ts';
import { authoredWords, reworded, type Worded } from '../../../src/authoring/fit/words.ts';
import { readCases } from '../../../src/authoring/score/score.ts';
import type { Fitted } from '../../../src/contract/calibration.ts';
import { loadAll } from '../../../src/knowledge/load.ts';
import type { RuleSet } from '../../../src/knowledge/rule-set.ts';
import { simulate } from './simulated.ts';

const [ruleSet] = (await loadAll(new URL('../../../rules', import.meta.url).pathname)) as [RuleSet];
const { words } = ruleSet.parts.constants;
const SHOWS = Object.keys(words.shows).sort(
  (a, b) => (words.shows[a] as number) - (words.shows[b] as number),
);
const BACKGROUND = Object.keys(words.background).sort(
  (a, b) => (words.background[a] as number) - (words.background[b] as number),
);
/** Findings that rule each other out on one film are reported together; a simple draw of one apart from the other is no film. */
const TIED = new Set(
  ruleSet.parts.reports
    .filter((r) => r.event.params.kind === 'excluded')
    .flatMap((r) => [r.event.params.finding, ...(JSON.stringify(r.conditions).match(/[a-z0-9-]+/g) ?? [])]),
);
const LOOKED = new Set(
  ruleSet.parts.findings
    .map((f) => f.code)
    .filter((code) => ruleSet.observations.has(code) && !TIED.has(code))
    .filter((code) => ruleSet.parts.links.some((l) => l.event.params.finding === code))
    .filter((_, i) => i % 2 === 0),
);

/** What swimmers really do: every word of the looked-for findings two steps from the authored one, where there is room. */
function truthOf(): RuleSet {
  const step = (scale: readonly string[], word: string): string => {
    const i = scale.indexOf(word);
    return scale[i + 2 < scale.length ? i + 2 : i - 2] as string;
  };
  const by = new Map<string, Worded>();
  for (const finding of LOOKED) {
    const { background, shows } = authoredWords(finding, ruleSet);
    const above = SHOWS.filter((w) => (words.shows[w] as number) > 0.4);
    by.set(finding, {
      background,
      shows: Object.fromEntries(
        Object.entries(shows).map(([link, w]) => [
          link,
          above.includes(step(SHOWS, w)) ? step(SHOWS, w) : 'often',
        ]),
      ),
    });
  }
  return reworded(ruleSet, by);
}

describe('400 invented swimmers who differ from the rules', () => {
  const truth = truthOf();
  let fitted: Fitted;
  let enough: Map<string, number>;
  beforeAll(() => {
    const { cases } = readCases(simulate(truth, LOOKED, 400, 11), ruleSet);
    fitted = fitRuleSet(cases, ruleSet);
    enough = new Map();
    for (const { rivals } of [...rowsOf(cases).values()].flat()) {
      const there = [...new Set(rivals.flat().flatMap((p) => (p.there >= 0.5 ? [p.link] : [])))];
      if (there.length === 1) enough.set(there[0] as string, (enough.get(there[0] as string) ?? 0) + 1);
    }
  }, 60_000);

  test('links that are the only cause of their finding in thirty or more of them come out within one word of the truth', () => {
    const proposed = new Map(fitted.proposals.map((p) => [p.id, p.to.word]));
    const off = truth.parts.links.flatMap((link, i) => {
      const { finding, shows: real } = link.event.params;
      if (!LOOKED.has(finding) || (enough.get(link.id) ?? 0) < 30) return [];
      const said = proposed.get(link.id) ?? (ruleSet.parts.links[i]?.event.params.shows as string);
      const steps = Math.abs(SHOWS.indexOf(said) - SHOWS.indexOf(real));
      return [{ link: link.id, said, real, steps }];
    });
    expect(off.length).toBeGreaterThan(30);
    expect(off.filter((o) => o.steps > 1)).toEqual([]);
  });

  test('backgrounds, which were authored right, stay within one word', () => {
    for (const p of fitted.proposals.filter((q) => q.field === 'background'))
      expect(
        Math.abs(BACKGROUND.indexOf(p.to.word) - BACKGROUND.indexOf(p.from.word)),
        p.id,
      ).toBeLessThanOrEqual(1);
  });

  test('nothing moves where nobody looked', () => {
    const untouched = fitted.proposals.filter((p) => {
      const finding =
        p.part === 'findings' ? p.id : ruleSet.parts.links.find((l) => l.id === p.id)?.event.params.finding;
      return !LOOKED.has(finding as string);
    });
    expect(untouched).toEqual([]);
  });

  test('swimmers who were left out are judged better with the new words', () => {
    expect(fitted.because.code).toBe('better');
    expect(fitted.leftOut.after.logLoss.value).toBeLessThan(fitted.leftOut.before.logLoss.value);
    expect(fitted.leftOut.after.brier.value).toBeLessThan(fitted.leftOut.before.brier.value);
  });

  test('the draft holds exactly the proposed words', () => {
    const { links, findings } = fitted.draft.upsert as {
      links: RuleSet['parts']['links'];
      findings: RuleSet['parts']['findings'];
    };
    const said = new Map([
      ...findings.map((f): [string, string] => [f.code, f.background]),
      ...links.map((l): [string, string] => [l.id, l.event.params.shows]),
    ]);
    expect(said).toEqual(new Map(fitted.proposals.map((p) => [p.id, p.to.word])));
  });
});

test('records that say nothing move nothing', () => {
  const request = { swimmer: { level: 'novice' as const } };
  const { cases } = readCases([{ request, causes: [{ code: 'head-high-habit' }] }], ruleSet);
  expect(fitRuleSet(cases, ruleSet)).toMatchObject({ proposals: [], because: { code: 'nothing' } });
});

test('one swimmer alone does not change a word', () => {
  const { cases } = readCases(simulate(truthOf(), LOOKED, 1, 3), ruleSet);
  expect(fitRuleSet(cases, ruleSet).proposals).toEqual([]);
});
