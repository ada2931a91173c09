/** What a rule set says of labelled records, next to what an expert named. */
import { ownEvidenceDb, probabilityOfNode } from '../../assess/causes.ts';
import { keyOf } from '../../assess/findings.ts';
import { rangeOf } from '../../assess/network/range.ts';
import { weigh } from '../../assess/network/weigh.ts';
import { runFlowNow } from '../../assess/pipeline.ts';
import { toRecord } from '../../assess/record.ts';
import { type Concluded, study } from '../../assess/study.ts';
import type { LabelledCase } from '../../contract/calibration.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import type { Forecast } from './figures.ts';

export interface CauseForecast extends Forecast {
  readonly cause: string;
  readonly low: number;
  readonly high: number;
}

export interface Judged {
  /** Records of one swimmer are one witness. */
  readonly swimmer: string;
  /** One for each root cause and side of the rule set. */
  readonly forecasts: readonly CauseForecast[];
  /** Place among the listed causes of the first one that the expert named; null: none is listed, or he named none. */
  readonly place: number | null;
  readonly anyNamed: boolean;
}

/** A labelled record, read by the stages that do not depend on how often a cause shows. */
export interface ReadCase {
  readonly swimmer: string;
  readonly level: LabelledCase['request']['swimmer']['level'];
  readonly named: ReadonlySet<string>;
  readonly study: Concluded;
}

const namedKeys = ({ causes }: LabelledCase): ReadonlySet<string> =>
  new Set(
    causes.flatMap(({ code, side }) =>
      side === 'both' ? [keyOf(code, 'left'), keyOf(code, 'right')] : [keyOf(code, side ?? 'body')],
    ),
  );

/** @returns null for a record that the health gate stops: there is nothing to score. */
export function readCase(labelled: LabelledCase, index: number, ruleSet: RuleSet): ReadCase | null {
  const record = toRecord(labelled.request, ruleSet);
  const found = runFlowNow(study(record, ruleSet));
  if (found.status === 'stop') return null;
  const { ref, level } = labelled.request.swimmer;
  return { swimmer: ref ?? `case ${index}`, level, named: namedKeys(labelled), study: found };
}

/** @param ruleSet the one that the case was read with, or one that differs from it only in how often things show */
export function judge(read: ReadCase, ruleSet: RuleSet): Judged {
  const { findings, evidence } = read.study;
  const { propagation, listing } = ruleSet.parts.constants;
  const weighed = weigh(findings, evidence, read.level, ruleSet);
  const told = weighed.network.nodes.flatMap((node, n): Told[] => {
    if (node.role !== 'root') return [];
    const raw = weighed.beliefs.logOddsDb[n] as number;
    const totalDb = Math.max(-propagation.limitDb, Math.min(propagation.limitDb, raw));
    const probability = probabilityOfNode(n, weighed, ruleSet);
    return [
      {
        cause: node.code,
        probability,
        named: read.named.has(node.key) ? 1 : 0,
        ...rangeOf(n, totalDb, evidence.fixed, weighed, ruleSet.parts.constants),
        listed:
          probability >= listing.probability && ownEvidenceDb(n, evidence, weighed) >= listing.ownEvidenceDb,
      },
    ];
  });
  return {
    swimmer: read.swimmer,
    forecasts: told.map(({ listed: _, ...forecast }) => forecast),
    place: placeOf(told),
    anyNamed: told.some((f) => f.named === 1),
  };
}

interface Told extends CauseForecast {
  readonly listed: boolean;
}

/** Ties share the mean of their places, so that the order of the file decides nothing. */
function placeOf(told: readonly Told[]): number | null {
  const listed = told.filter((f) => f.listed);
  const named = listed.filter((f) => f.named === 1).map((f) => f.probability);
  if (named.length === 0) return null;
  const best = Math.max(...named);
  const above = listed.filter((f) => f.probability > best).length;
  const tied = listed.filter((f) => f.probability === best && f.named === 0).length;
  return above + 1 + tied / 2;
}
