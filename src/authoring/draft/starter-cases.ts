/**
 * The cases that come with a new rule set: what any stroke must do about health and age, taken from the cases of the rule
 * set that the starter is taken from. What was seen of the stroke is left out, and with it what is expected of it.
 */
import { authoredLeaves } from '../../knowledge/expand.ts';
import type { Parts } from '../../knowledge/parts.ts';
import type { Case } from '../cases.ts';
import type { Source } from './overlay.ts';

type Expected = Case['expect'];

/** @param known names of the entries that the starter keeps. */
function healthOf(e: Expected, known: ReadonlySet<string>): Expected {
  const kept = (codes: readonly string[] | undefined): string[] => (codes ?? []).filter((c) => known.has(c));
  const [cautions, noCautions] = [kept(e.cautions), kept(e.noCautions)];
  return {
    ...(e.status === 'stop' || e.status === 'refer' ? { status: e.status } : {}),
    ...(cautions.length === 0 ? {} : { cautions }),
    ...(noCautions.length === 0 ? {} : { noCautions }),
    ...(e.restrictedParts === undefined ? {} : { restrictedParts: e.restrictedParts }),
  };
}

const tells = (e: Expected): boolean => e.status !== undefined || (e.cautions?.length ?? 0) > 0;

/** Cautions that no drill has to be given for: which drills there will be is not known yet. */
function cautionsWithoutDrills(parts: Parts): string[] {
  const ofDrills = parts['caution-rules'].filter((rule) =>
    authoredLeaves(rule.conditions).some(({ leaf }) => leaf.fact.startsWith('named-by-drill:')),
  );
  const left = new Set(ofDrills.map((rule) => rule.event.params.caution));
  return [...parts['gate-rules'], ...parts['caution-rules']]
    .map((rule) => rule.event.params.caution)
    .filter((caution) => !left.has(caution));
}

/** @param cases of the rule set that the starter is taken from. */
export function starterCases({ parts }: Source, cases: readonly Case[]): Case[] {
  const known = new Set([
    ...[...parts.observations, ...parts.measurements].map((entry) => entry.code),
    ...cautionsWithoutDrills(parts),
  ]);
  return cases.flatMap((c) => {
    const expect = healthOf(c.expect, known);
    if (!tells(expect)) return [];
    const { observations, measurements, raw: _, coach: __, recording, ...request } = c.request;
    const of = <T extends { code: string }>(entries: readonly T[] | undefined): T[] =>
      (entries ?? []).filter((entry) => known.has(entry.code));
    const { flags: ___, ...film } = recording ?? {};
    return [
      {
        ...c,
        request: {
          ...request,
          ...(recording === undefined ? {} : { recording: film }),
          observations: of(observations),
          measurements: of(measurements),
        },
        expect,
      },
    ];
  });
}
