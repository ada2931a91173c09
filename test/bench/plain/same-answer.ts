/** The numbers of an answer of the service, in the shape in which the plain implementation gives them. */
import type { AssessmentAnswer, Cause, NextLook, PhaseScore } from '../../../src/contract/answer.ts';
import type { PlainAnswer } from './assess.ts';
import type { ArmScores, Score } from './efficiency.ts';

function causeNumbers(c: Cause): PlainAnswer['causes'][number] {
  const { code, side, cost, probability, range, assessedShare, explains, drivenBy, totalDb, trail } = c;
  const rejected = c.rejectedByCoach !== undefined;
  const lines = trail.map((line) => line.db);
  return {
    code,
    side,
    cost,
    probability,
    range,
    assessedShare,
    explains,
    drivenBy,
    rejected,
    totalDb,
    lines,
  };
}

function scoreNumbers(score: PhaseScore): Score {
  if (score.status === 'not-scorable') return { status: 'not-scorable' };
  return { ...score, lost: score.lost.map(({ observation, share }) => ({ observation, share })) };
}

function armNumbers(arm: { readonly [P in keyof ArmScores]: PhaseScore }): ArmScores {
  const { catch: c, pull, push, arm: whole } = arm;
  return {
    catch: scoreNumbers(c),
    pull: scoreNumbers(pull),
    push: scoreNumbers(push),
    arm: scoreNumbers(whole),
  };
}

function lookNumbers(look: NextLook): PlainAnswer['nextLooks'][number] {
  const { code, side, view, probability, bits, wouldChangeAdvice, now, ifPresent, ifAbsent } = look;
  const numbers = (list: NextLook['now']): number[] => list.map((b) => b.probability);
  return {
    code,
    side,
    view: view as PlainAnswer['nextLooks'][number]['view'],
    probability,
    bits,
    wouldChangeAdvice,
    now: numbers(now),
    ifPresent: numbers(ifPresent.causes),
    ifAbsent: numbers(ifAbsent.causes),
  };
}

export function numbersOf(answer: AssessmentAnswer): PlainAnswer | { status: 'stop' } {
  if (answer.status === 'stop') return { status: 'stop' };
  return {
    status: answer.status,
    restrictions: answer.restrictions.map(({ bodyPart, side }) => ({ bodyPart, side })),
    findings: answer.findings.map(({ code, side, severity, status, belief, reportDb, conflict }) => ({
      code,
      side,
      severity,
      status,
      belief,
      reportDb,
      conflict,
    })),
    causes: answer.causes.map(causeNumbers),
    mechanisms: answer.mechanisms.map(causeNumbers),
    efficiency: {
      left: armNumbers(answer.efficiency.left),
      right: armNumbers(answer.efficiency.right),
      difference: scoreNumbers(answer.efficiency.difference),
    },
    focus: answer.focus.map(({ cause, side, priority, probability, because, chosenBy }) => ({
      cause,
      side,
      priority,
      probability: probability as number,
      because,
      chosenBy,
    })),
    drills: answer.drills.map((d) => ({
      code: d.code,
      gain: d.gain,
      for: d.for.map(({ cause, side, share }) => ({ cause, side, share })),
    })),
    excludedDrills: answer.excludedDrills.map(({ code, reason, rule }) => ({ code, reason, rule })),
    nextLooks: answer.nextLooks.map(lookNumbers),
  };
}
