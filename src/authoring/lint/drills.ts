/** Lints of drills: who has none, what has no aim, and what is dangerous and never asked for. */
import { leavesOf } from '../../engine/conditions.ts';
import type { ExcludeParams } from '../../knowledge/parts.ts';
import type { LintFinding, LintRule } from './finding.ts';

/** Causes that no drill is meant for: they go with what drives them, or are no fault. */
const NOT_FOR_DRILLS: readonly string[] = ['with-its-driver', 'not-changed'];

export const aims: LintRule = ({ ruleSet: { parts } }) => {
  const aimedAt = new Set(
    parts.drills.flatMap((d) => d.targets.filter((t) => t.effect > 0).map((t) => t.cause)),
  );
  return [
    ...parts.causes
      .filter((c) => c.role === 'root' && !NOT_FOR_DRILLS.includes(c.timeBand) && !aimedAt.has(c.code))
      .map((c) => ({
        lint: 'cause-without-drill' as const,
        part: 'causes',
        entry: c.code,
        path: [],
        message: `no drill works on "${c.code}"`,
        suggestion:
          'Add it to the targets of a drill, or add a drill: a cause that can become the focus needs one.',
      })),
    ...parts.drills
      .filter((d) => !d.targets.some((t) => t.effect > 0))
      .map((d) => ({
        lint: 'drill-without-cause' as const,
        part: 'drills',
        entry: d.code,
        path: ['targets'],
        message: `"${d.code}" works on no cause, so it is never chosen`,
        suggestion: 'Name a cause that it works on, with an effect of 1 to 3.',
      })),
  ];
};

export const contraindications: LintRule = ({ ruleSet: { parts, stages } }) => {
  const asked = new Map<string, Set<string>>();
  for (const { conditions, event } of stages.exclusions.rules) {
    const { drill } = event.params as ExcludeParams;
    const facts = asked.get(drill) ?? new Set<string>();
    for (const leaf of leavesOf(conditions)) facts.add(leaf.fact.split('@')[0] as string);
    asked.set(drill, facts);
  }
  const raised = new Set(
    [...parts['caution-rules'], ...parts['gate-rules']].map((r) => r.event.params.caution),
  );
  return parts.drills.flatMap((d): LintFinding[] => {
    const facts = asked.get(d.code) ?? new Set<string>();
    const unchecked = (field: string, i: number, about: string, message: string, suggestion: string) => ({
      lint: 'contraindication-unchecked' as const,
      part: 'drills',
      entry: d.code,
      path: [field, i],
      about,
      message,
      suggestion,
    });
    return [
      ...d.loads.flatMap((part, i) =>
        facts.has(`restricted:${part}`)
          ? []
          : [
              unchecked(
                'loads',
                i,
                part,
                `"${d.code}" loads the ${part}, and no rule keeps it away when the ${part} must rest`,
                'Add a rule to drill-exclusions that asks for the restricted part; "forEach": {"each": "drill-load"} writes it for every drill.',
              ),
            ],
      ),
      ...d.avoid.flatMap(({ cause }, i) =>
        facts.has(`cause:${cause}`)
          ? []
          : [
              unchecked(
                'avoid',
                i,
                cause,
                `"${d.code}" works against "${cause}", and no rule keeps it away from such a swimmer`,
                'Add a rule to drill-exclusions that asks for the cause; "forEach": {"each": "drill-avoid"} writes it for every drill.',
              ),
            ],
      ),
      ...d.cautions.flatMap((caution, i) =>
        raised.has(caution)
          ? []
          : [
              unchecked(
                'cautions',
                i,
                caution,
                `"${d.code}" names the caution "${caution}", and no rule ever raises it`,
                `Add a rule to caution-rules that asks for "named-by-drill:${caution}".`,
              ),
            ],
      ),
    ];
  });
};
