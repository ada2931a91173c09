/**
 * Proposed words for how often things show, from labelled records: a proposal with figures of swimmers that it was not
 * fitted on, never applied by itself. Pure.
 */
import { phrase } from '../../assess/phrases.ts';
import type { FitProposal, Fitted } from '../../contract/calibration.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { type Judged, judge, type ReadCase } from '../score/forecasts.ts';
import { scoresOf } from '../score/scores.ts';
import { AUTHORED_SWIMMERS, type Frequencies, fitFinding, worth } from './finding.ts';
import { counted, type Row, rowsOf } from './rows.ts';
import { authoredWords, frequenciesOf, reworded, type Worded, wordsOf } from './words.ts';

interface FindingFit {
  readonly finding: string;
  readonly rows: readonly Row[];
  readonly authored: Worded;
  readonly fitted: Frequencies;
  readonly words: Worded;
}

function fitOne(finding: string, rows: readonly Row[], ruleSet: RuleSet, start?: Frequencies): FindingFit {
  const authored = authoredWords(finding, ruleSet);
  const numbers = frequenciesOf(authored, ruleSet);
  const situations = counted(rows);
  const fitted = fitFinding(situations, numbers, start);
  const words = wordsOf(fitted, authored, (at) => worth(situations, at, numbers), ruleSet);
  return { finding, rows, authored, fitted, words };
}

const swimmersOf = (rows: readonly Row[]): number => new Set(rows.map((r) => r.swimmer)).size;

/** Rows in which a link, and no other, could bring the finding about; for the background (null), rows in which none could. */
function telling({ rows }: FindingFit, link: string | null): Row[] {
  return rows.filter((row) => {
    const there = row.rivals.flat().filter((p) => p.there >= 0.5);
    return there.every((p) => p.link === link) && (link === null || there.length > 0);
  });
}

function proposals(fit: FindingFit, ruleSet: RuleSet): FitProposal[] {
  const { words } = ruleSet.parts.constants;
  const labelOf = ruleSet.texts.observations[fit.finding]?.label ?? fit.finding;
  const propose = (
    entry: Pick<FitProposal, 'part' | 'id' | 'field'>,
    [from, to]: readonly [string, string],
    fitted: number,
    scale: Readonly<Record<string, number>>,
    rows: readonly Row[],
  ): FitProposal[] => {
    if (from === to) return [];
    const swimmers = swimmersOf(rows);
    const values = { from, to, finding: labelOf, swimmers: String(swimmers) };
    return [
      {
        ...entry,
        from: { word: from, value: scale[from] as number },
        to: { word: to, value: scale[to] as number },
        fitted,
        swimmers,
        text: phrase(ruleSet, `fit-${entry.field}`, values),
      },
    ];
  };
  return [
    ...propose(
      { part: 'findings', id: fit.finding, field: 'background' },
      [fit.authored.background, fit.words.background],
      fit.fitted.background,
      words.background,
      telling(fit, null),
    ),
    ...Object.keys(fit.authored.shows).flatMap((link) =>
      propose(
        { part: 'links', id: link, field: 'shows' },
        [fit.authored.shows[link] as string, fit.words.shows[link] as string],
        fit.fitted.shows[link] as number,
        words.shows,
        telling(fit, link),
      ),
    ),
  ];
}

/** Swimmers in at most this many groups, so that the time to answer stays bounded; up to here each is a group of his own. */
const MOST_GROUPS = 50;

/** Each swimmer judged by words that were fitted without him. */
function leftOut(cases: readonly ReadCase[], fits: readonly FindingFit[], ruleSet: RuleSet): Judged[] {
  const swimmers = [...new Set(cases.map((c) => c.swimmer))].sort();
  const groupOf = new Map(swimmers.map((swimmer, i) => [swimmer, i % MOST_GROUPS]));
  const groups = Map.groupBy(cases, (c) => groupOf.get(c.swimmer));
  return [...groups].flatMap(([group, own]) => {
    const words = fits.map((fit): [string, Worded] => {
      const others = fit.rows.filter((r) => groupOf.get(r.swimmer) !== group);
      // the fit of a finding that the group says nothing of is the same without it
      if (others.length === fit.rows.length) return [fit.finding, fit.words];
      return [fit.finding, fitOne(fit.finding, others, ruleSet, fit.fitted).words];
    });
    const without = reworded(ruleSet, new Map(words));
    return own.map((read) => judge(read, without));
  });
}

const gain = (before: number, after: number): 'better' | 'same' | 'worse' =>
  after < before - 1e-9 ? 'better' : after > before + 1e-9 ? 'worse' : 'same';

/** @param cases at least one, read with this rule set */
export function fitRuleSet(cases: readonly ReadCase[], ruleSet: RuleSet): Fitted {
  const fits = [...rowsOf(cases)].map(([finding, rows]) => fitOne(finding, rows, ruleSet));
  const found = fits
    .flatMap((fit) => proposals(fit, ruleSet))
    .sort((a, b) => b.swimmers - a.swimmers || (a.id < b.id ? -1 : 1));
  const before = scoresOf(
    cases.map((c) => judge(c, ruleSet)),
    ruleSet,
  );
  const after = scoresOf(leftOut(cases, fits, ruleSet), ruleSet);
  const verdict = found.length === 0 ? 'nothing' : gain(before.logLoss.value, after.logLoss.value);
  const count = String(found.length);
  return {
    proposals: found,
    draft: draftOf(fits, ruleSet),
    leftOut: { before, after },
    authoredSwimmers: AUTHORED_SWIMMERS,
    because: { code: verdict, text: phrase(ruleSet, `fit-${verdict}`, { count }) },
  };
}

/** The proposals as a draft that can be checked and tried as it stands. */
function draftOf(fits: readonly FindingFit[], ruleSet: RuleSet): Fitted['draft'] {
  const { links, findings } = reworded(ruleSet, new Map(fits.map((f) => [f.finding, f.words]))).parts;
  const changed = <T>(now: readonly T[], authored: readonly T[], same: (a: T, b: T) => boolean): T[] =>
    now.filter((entry, i) => !same(entry, authored[i] as T));
  return {
    upsert: {
      links: changed(links, ruleSet.parts.links, (a, b) => a.event.params.shows === b.event.params.shows),
      findings: changed(findings, ruleSet.parts.findings, (a, b) => a.background === b.background),
    },
  };
}
