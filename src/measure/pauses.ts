/** Pauses of the recovery: how long a hand does not move forward between exit and entry. */
import { ARMS, type Events } from './events.ts';
import { certaintyOf, type Note, type Part, type Reading, warning } from './reading.ts';
import { combined, eventSd, meanOf } from './uncertainty.ts';

/** Pauses change by about so many seconds from stroke to stroke (judgement). */
const OWN_SD_S = 0.03;

function pausesOf(moments: Events['moments']['left']): { seconds: number[]; unpaired: boolean } {
  const marks = moments.filter((m) => m.kind === 'pause-start' || m.kind === 'pause-end');
  const seconds: number[] = [];
  let start: number | undefined;
  let unpaired = false;
  for (const mark of marks) {
    if (mark.kind === 'pause-start') {
      unpaired ||= start !== undefined;
      start = mark.time;
    } else if (start === undefined) unpaired = true;
    else {
      seconds.push(mark.time - start);
      start = undefined;
    }
  }
  return { seconds, unpaired: unpaired || start !== undefined };
}

/**
 * Pauses of the recovery, from their marked start and end (common practice).
 *
 * @param events moments in seconds
 * @returns the mean pause of each arm in seconds, over the strokes in which one was marked; a note for a pause half marked
 */
export function measurePauses({ moments, clock }: Events): Part {
  const pauses = { left: pausesOf(moments.left), right: pausesOf(moments.right) };
  const usual = combined(eventSd('pause-start', clock), eventSd('pause-end', clock), OWN_SD_S);
  const readings = ARMS.flatMap((arm): Reading[] => {
    const own = pauses[arm].seconds;
    if (own.length === 0) return [];
    const { value, standardDeviation, spread } = meanOf(own, usual, [
      pauses[arm === 'left' ? 'right' : 'left'].seconds,
    ]);
    return [
      {
        code: 'recovery-pause',
        side: arm,
        value,
        standardDeviation,
        certainty: certaintyOf(own.length),
        derivation: {
          inputs: 'pause-start and pause-end of the same hand',
          formula: 'mean of pause-end - pause-start, over strokes with a pause',
          source: 'definition of the rule set',
          seconds: [...own],
          spread,
          clockStepSeconds: clock.step,
          frameRate: clock.frameRate ?? null,
        },
      },
    ];
  });
  const notes = ARMS.flatMap((arm): Note[] =>
    pauses[arm].unpaired
      ? [warning('pause-without-end', { code: 'recovery-pause', side: arm }, { arm })]
      : [],
  );
  return { readings, notes };
}
