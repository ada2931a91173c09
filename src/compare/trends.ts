/** Every item over all films, and for measurements the slope of a line through them. */
import { linearRegression, mean } from 'simple-statistics';
import { labelOfFinding, phrase } from '../assess/phrases.ts';
import type { Arm, Side } from '../contract/common.ts';
import type { Trend } from '../contract/comparison.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { nodesOf, probabilityIn } from './beliefs.ts';
import { conditionsOf } from './conditions.ts';
import type { Film } from './film.ts';
import { blockOf, type Same } from './film-pair.ts';
import { limitOf, reaches } from './limits.ts';
import { seenIn, severityOf } from './looks.ts';
import { directionOf, measuredIn, sameFor } from './measured.ts';
import { painLabel, placesOf, scoreOf } from './pain.ts';
import { t95 } from './statistics.ts';

const WEEK_MS = 7 * 86_400_000;
type Values = Trend['values'];

/** Least squares with the t-interval of its slope; null for fewer than three points or for one moment only. */
function slopePerWeek(values: Values): NonNullable<Trend['perWeek']> | null {
  const points = values.flatMap((v): [number, number][] =>
    v.value === null || !v.comparable ? [] : [[Date.parse(v.at) / WEEK_MS, v.value]],
  );
  const middle = points.length === 0 ? 0 : mean(points.map(([x]) => x));
  const spread = points.reduce((sum, [x]) => sum + (x - middle) ** 2, 0);
  if (points.length < 3 || spread === 0) return null;
  const { m, b } = linearRegression(points.map(([x, y]) => [x - middle, y]));
  const left = points.reduce((sum, [x, y]) => sum + (y - b - m * (x - middle)) ** 2, 0);
  const freedom = points.length - 2;
  const half = t95(freedom) * Math.sqrt(left / freedom / spread);
  return { estimate: m, low: m - half, high: m + half };
}

/** Better or worse over all films: the slope leaves zero out, and what it adds up to reaches the limit. */
function directionOver(
  code: string,
  perWeek: Trend['perWeek'],
  values: Values,
  ruleSet: RuleSet,
): Trend['direction'] {
  const told = values.filter((v) => v.value !== null && v.comparable);
  const [first, last] = [told[0], told.at(-1)];
  if (perWeek === null || perWeek.low * perWeek.high <= 0 || first === undefined || last === undefined)
    return 'none';
  const from = first.value as number;
  const total = (perWeek.estimate * (Date.parse(last.at) - Date.parse(first.at))) / WEEK_MS;
  const limit = limitOf(code, ruleSet);
  const least = Math.max(limit?.units ?? 0, ((limit?.percent ?? 0) / 100) * Math.abs(from));
  return reaches(total, least) ? directionOf(code, from, from + total, ruleSet) : 'none';
}

interface Item {
  readonly kind: Trend['kind'];
  readonly code: string;
  readonly site?: string;
  readonly side: Side;
  readonly label: string;
  readonly unit?: string;
  readonly same: Same;
  readonly valueIn: (film: Film) => number | null;
}

function itemsOf(films: readonly Film[], ruleSet: RuleSet): Item[] {
  const items = new Map<string, Item>();
  const add = (item: Item): void => {
    items.set(`${item.kind} ${item.code} ${item.site ?? ''} ${item.side}`, item);
  };
  const armIn = ({ answer }: Film, side: Arm): number | null => {
    const { arm } = answer.efficiency[side];
    return arm.status === 'scored' ? arm.estimate : null;
  };
  for (const film of films) {
    const { record, answer } = film;
    for (const { code, side } of record.observations.filter((o) => o.severity > 0)) {
      const valueIn = (other: Film): number | null => {
        const seen = seenIn(other, code, side);
        return seen.length === 0 ? null : severityOf(seen);
      };
      add({ kind: 'finding', code, side, label: labelOfFinding(ruleSet, code), same: 'pace', valueIn });
    }
    for (const { code, side } of record.measurements.filter((m) => m.code !== 'pain')) {
      const valueIn = (other: Film): number | null => {
        const values = measuredIn(other, code, side).map((m) => m.value);
        return values.length === 0 ? null : mean(values);
      };
      const label = ruleSet.texts.measurements[code]?.label ?? code;
      const unit = ruleSet.measurements.get(code)?.unit ?? '';
      add({ kind: 'measurement', code, side, label, unit, same: sameFor(code, ruleSet), valueIn });
    }
    for (const { site, side } of placesOf(film)) {
      const valueIn = (other: Film): number | null => scoreOf(other, site, side);
      const [label, unit] = [painLabel(site, ruleSet), ruleSet.measurements.get('pain')?.unit ?? ''];
      add({ kind: 'measurement', code: 'pain', site, side, label, unit, same: 'nothing', valueIn });
    }
    for (const { code, side, label } of answer.causes) {
      const [node] = nodesOf(film, code, side);
      const valueIn = (other: Film): number | null =>
        node === undefined ? null : probabilityIn(other, node, ruleSet);
      add({ kind: 'cause', code, side, label, same: 'pace', valueIn });
    }
    for (const side of ['left', 'right'] as const) {
      if (armIn(film, side) === null) continue;
      const valueIn = (other: Film): number | null => armIn(other, side);
      const label = phrase(ruleSet, 'phase-arm');
      add({ kind: 'efficiency', code: 'arm', side, label, unit: '%', same: 'pace', valueIn });
    }
  }
  return [...items].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, item]) => item);
}

/** @returns nothing for fewer than three films: two are a comparison and no trend. */
export function trendsOf(films: readonly Film[], ruleSet: RuleSet): Trend[] {
  const last = films.at(-1);
  if (films.length < 3 || last === undefined) return [];
  const pairs = films.map((film) => ({
    film,
    pair: { before: film, after: last, ruleSet, conditions: conditionsOf(film, last, ruleSet) },
  }));
  return itemsOf(films, ruleSet).map(({ same, valueIn, ...item }): Trend => {
    const values = pairs.map(({ film, pair }) => ({
      at: film.at,
      value: valueIn(film),
      comparable: blockOf(pair, same) === null,
    }));
    const perWeek = item.kind === 'measurement' ? slopePerWeek(values) : null;
    return { ...item, values, perWeek, direction: directionOver(item.code, perWeek, values, ruleSet) };
  });
}
