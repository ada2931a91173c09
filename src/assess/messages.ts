/** Everything that a reader should know about how the answer came about: nothing is defaulted or dropped in silence. */
import type { Drill, Message } from '../contract/answer.ts';
import type { Side } from '../contract/common.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { drivenBy } from './cause-answers.ts';
import { derivedFlags } from './facts.ts';
import { equipmentWords, labelOfCause, labelOfFinding, phrase, sideWords } from './phrases.ts';
import type { Record } from './record.ts';
import type { Concluded } from './study.ts';

const info = (code: string, text: string, about: Message['about'] = {}): Message => ({
  severity: 'info',
  code,
  about,
  text,
});
const warning = (code: string, text: string, about: Message['about'] = {}): Message => ({
  severity: 'warning',
  code,
  about,
  text,
});

function aboutRecord(record: Record, ruleSet: RuleSet): Message[] {
  const messages: Message[] = [];
  if (record.health === null || !record.health.asked)
    messages.push(warning('health-not-asked', phrase(ruleSet, 'health-not-asked')));
  if (record.certaintyDefaulted)
    messages.push(info('certainty-not-stated', phrase(ruleSet, 'certainty-not-stated')));
  for (const flag of derivedFlags(record, ruleSet)) {
    messages.push(
      info(
        'flag-derived',
        phrase(ruleSet, 'flag-derived', { label: ruleSet.texts.qualityFlags[flag]?.label ?? flag }),
        { code: flag },
      ),
    );
  }
  return messages;
}

function aboutFindings(c: Concluded, ruleSet: RuleSet): Message[] {
  return [...c.findings.values()]
    .filter((f) => f.conflict)
    .map((f) => {
      const text = phrase(ruleSet, 'reports-conflict', {
        label: labelOfFinding(ruleSet, f.code),
        side: sideWords(ruleSet, f.side),
      });
      return (f.contradiction ? warning : info)('reports-conflict', text, { code: f.code, side: f.side });
    });
}

function aboutCauses(c: Concluded, ruleSet: RuleSet): Message[] {
  const likely = ruleSet.words.get('likely') ?? 1;
  const named = (code: string, side: Side) => ({
    label: labelOfCause(ruleSet, code),
    side: sideWords(ruleSet, side),
  });
  const orphans = c.listed.mechanisms
    .filter((m) => m.probability >= likely && drivenBy(m, c.listed, ruleSet).length === 0)
    .map((m) =>
      info('no-driver-found', phrase(ruleSet, 'no-driver-found', named(m.code, m.side)), {
        code: m.code,
        side: m.side,
      }),
    );
  const method =
    c.weighed.beliefs.method === 'one-pass'
      ? [warning('method-one-pass', phrase(ruleSet, 'method-one-pass'))]
      : [];
  const asks = c.plan.asks.map((look) =>
    info('ask-land-test', phrase(ruleSet, 'ask-land-test', { label: labelOfFinding(ruleSet, look) }), {
      code: look,
    }),
  );
  return [...orphans, ...method, ...asks];
}

function aboutCoach(c: Concluded, record: Record, ruleSet: RuleSet): Message[] {
  const messages: Message[] = [];
  if (record.coach.focus !== null) {
    messages.push(info('coach-focus', phrase(ruleSet, 'coach-focus')));
    const sore = c.gate.restrictions.filter((r) => r.bodyPart === 'shoulder').map((r) => r.side);
    const touches = record.coach.focus.some((f) => f.side === 'both' || sore.includes(f.side));
    if (sore.length > 0 && touches)
      messages.push(warning('coach-focus-restricted', phrase(ruleSet, 'coach-focus-restricted')));
  }
  for (const r of record.coach.rejectCauses) {
    const values = {
      label: labelOfCause(ruleSet, r.cause),
      side: sideWords(ruleSet, r.side),
      because: r.because,
    };
    messages.push(
      info('coach-rejected-cause', phrase(ruleSet, 'coach-rejected-cause', values), { code: r.cause }),
    );
  }
  return messages;
}

function aboutDrills(drills: readonly Drill[], record: Record, ruleSet: RuleSet): Message[] {
  if (record.swimmer.equipment !== undefined) return [];
  return drills
    .filter((d) => d.equipment.length > 0)
    .map((d) => {
      const equipment = d.equipment.map((code) => equipmentWords(ruleSet, code)).join(', ');
      return info('equipment-unknown', phrase(ruleSet, 'equipment-unknown', { label: d.name, equipment }), {
        code: d.code,
      });
    });
}

export function sortMessages(messages: readonly Message[]): Message[] {
  const key = (m: Message): string =>
    [m.severity === 'warning' ? 0 : 1, m.code, m.about.code ?? '', m.about.side ?? ''].join('|');
  return [...messages].sort((a, b) => (key(a) < key(b) ? -1 : key(a) > key(b) ? 1 : 0));
}

/** An answer that stops still says what was not asked. */
export function stopMessages(record: Record, ruleSet: RuleSet): Message[] {
  return sortMessages(aboutRecord(record, ruleSet).filter((m) => m.code === 'health-not-asked'));
}

export function messagesOf(
  c: Concluded,
  drills: readonly Drill[],
  record: Record,
  ruleSet: RuleSet,
): Message[] {
  return sortMessages([
    ...aboutRecord(record, ruleSet),
    ...(record.measured?.messages ?? []),
    ...aboutFindings(c, ruleSet),
    ...aboutCauses(c, ruleSet),
    ...aboutCoach(c, record, ruleSet),
    ...aboutDrills(drills, record, ruleSet),
  ]);
}
