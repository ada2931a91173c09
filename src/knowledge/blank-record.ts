/** An empty request with every code that the views in hand can show: what a coach fills in. */
import type { View } from '../contract/common.ts';
import type { RuleSet } from './rule-set.ts';

export function blankRecord(ruleSet: RuleSet, views: readonly View[] | undefined) {
  const { name, version } = ruleSet.manifest;
  const shown = ruleSet.parts.observations.filter(
    (o) => views === undefined || o.views.some((v) => views.includes(v)),
  );
  return {
    ruleSet: `${name}@${version}`,
    swimmer: { level: 'intermediate' },
    health: { asked: false, signs: [], pain: [], conditions: [] },
    recording: { ...(views === undefined ? {} : { views: [...views] }), flags: [] },
    observations: shown.map((o) => ({
      code: o.code,
      ...(o.sided ? { side: 'both' } : {}),
      severity: 0,
      certainty: 'unsure',
      view: o.views.find((v) => views === undefined || views.includes(v)),
    })),
    measurements: [],
  };
}
