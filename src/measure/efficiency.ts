/**
 * Simplified arm-stroke efficiency (theoretical Froude efficiency of a paddle wheel) after Zamparo et al. 2005, Eur J
 * Appl Physiol 94:134-144. It is stroke length over arm length times a constant: it says nothing that the stroke length
 * does not, except that it takes out body size. It is another quantity than the efficiency of each arm by eye.
 */
import { figure, info, type Note, type Part } from './reading.ts';
import type { Source } from './stroke.ts';
import { combined } from './uncertainty.ts';

/** Speed that the arms bring when the legs bring a tenth; measured -1 to 11 % from slow to fast (Silveira et al. 2017). */
const ARM_SHARE = 0.9;
const ARM_SHARE_SD = 0.04;
/** Shoulder to hand under water, relative: measured, or the whole arm in its place. */
const MEASURED_REACH_SD = 0.05;
/** A bent arm is 10 to 25 % shorter than a straight one, so the whole arm makes the value too low. */
const WHOLE_ARM_SD = 0.11;

/** Upper arm, and forearm with half a hand, as shares of shoulder to fingertip (Drillis & Contini 1966 segment lengths). */
const UPPER_ARM_SHARE = 0.423;
const FOREARM_SHARE = 0.455;

/**
 * Straight line from shoulder to palm of a bent arm, by the law of cosines.
 *
 * @param upperArm and `forearm` (with the hand, to the palm centre) in one unit
 * @param elbowDeg interior elbow angle; 180 is straight
 * @returns same unit
 */
export function shoulderToHand(upperArm: number, forearm: number, elbowDeg: number): number {
  const angle = (elbowDeg * Math.PI) / 180;
  return Math.sqrt(upperArm ** 2 + forearm ** 2 - 2 * upperArm * forearm * Math.cos(angle));
}

/**
 * Theoretical efficiency of a paddle wheel (Zamparo et al. 2005): [share x v / (2 pi x cycles per second x reach)] x (2 / pi).
 * Valid for whole-stroke front crawl at steady speed; not with fins, for one arm, in a current, behind another swimmer or
 * when the speed holds push-offs.
 *
 * @param speed m/s in mid-pool
 * @param cyclesPerSecond full cycles per second
 * @param reach mean shoulder-to-hand distance under water in metres
 * @param armShare 1 for swimming without a kick
 * @returns share from 0 to 1
 */
export function armStrokeEfficiency(
  speed: number,
  cyclesPerSecond: number,
  reach: number,
  armShare = ARM_SHARE,
): number {
  return ((armShare * speed) / (2 * Math.PI * cyclesPerSecond * reach)) * (2 / Math.PI);
}

interface Reach {
  readonly metres: number;
  readonly sd: number;
  readonly from: string;
}

interface Arms {
  readonly armLengthM?: number | undefined;
  readonly shoulderToHandM?: number | undefined;
}

function reachOf({ armLengthM, shoulderToHandM }: Arms, elbowDeg: number | undefined): Reach | undefined {
  if (shoulderToHandM !== undefined)
    return { metres: shoulderToHandM, sd: MEASURED_REACH_SD, from: 'shoulderToHandM' };
  if (armLengthM === undefined) return undefined;
  if (elbowDeg === undefined)
    return { metres: armLengthM, sd: WHOLE_ARM_SD, from: 'armLengthM, arm taken as straight' };
  const metres = shoulderToHand(UPPER_ARM_SHARE * armLengthM, FOREARM_SHARE * armLengthM, elbowDeg);
  return { metres, sd: MEASURED_REACH_SD, from: 'armLengthM and the measured elbow angle at mid-pull' };
}

/**
 * The simplified arm-stroke efficiency (Zamparo et al. 2005) and what must be said beside it.
 *
 * @param speed m/s and `rate` in cycles/min, as settled
 * @param arms lengths of the arm in metres
 * @param elbowDeg mean elbow angle at mid-pull, when it was measured
 * @returns the efficiency in percent with its caveats, only when speed, rate and arm length are all there
 */
export function measureEfficiency(
  speed: Source | undefined,
  rate: Source | undefined,
  arms: Arms,
  elbowDeg: number | undefined,
): Part {
  const reach = reachOf(arms, elbowDeg);
  if (speed === undefined || rate === undefined || reach === undefined) return { readings: [], notes: [] };
  const value = 100 * armStrokeEfficiency(speed.value, rate.value / 60, reach.metres);
  const relative = combined(
    speed.standardDeviation / speed.value,
    rate.standardDeviation / rate.value,
    reach.sd,
    ARM_SHARE_SD / ARM_SHARE,
  );
  const about = { code: 'arm-stroke-efficiency' };
  const notes: Note[] = [info('efficiency-caveat', about, { value: figure(value, 0) })];
  if (reach.from.startsWith('armLengthM,')) notes.push(info('efficiency-whole-arm', about));
  return {
    readings: [
      {
        code: 'arm-stroke-efficiency',
        side: 'body',
        value,
        standardDeviation: value * relative,
        certainty: [speed, rate].some((s) => s.certainty !== 'sure') ? 'unsure' : 'likely',
        derivation: {
          inputs: 'swim speed, stroke rate, shoulder-to-hand distance',
          formula: '100 x (0.9 x speed / (2 pi x cycles per second x distance)) x (2 / pi)',
          source:
            'Zamparo et al. 2005, Eur J Appl Physiol 94:134-144; agrees with 3D only at high effort (Giuliano et al. 2022)',
          speed: speed.value,
          cyclesPerSecond: rate.value / 60,
          shoulderToHandM: reach.metres,
          shoulderToHandFrom: reach.from,
          armShare: ARM_SHARE,
          notTheSameAs: 'the efficiency of each arm by eye',
        },
      },
    ],
    notes,
  };
}
