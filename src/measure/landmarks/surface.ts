/** Moments at which a hand goes through the water surface, and what a surface drawn wrongly does to them. */
import { DISTANCE_M, waterlineSd } from './camera.ts';
import type { Pull } from './pulls.ts';
import { finite, meanSize, valueAt } from './sample.ts';
import { coordinate, type Scene } from './scene.ts';
import type { Arm } from './types.ts';

/** Moments of one kind, in frames, of the strokes that show it. */
export function momentsOf(pulls: readonly Pull[], which: 'entry' | 'exit' | 'mid'): number[] {
  return pulls.flatMap((p) => (p[which] === undefined ? [] : [p[which]]));
}

/** Moments that were read from the drawn waterline. */
export function byLine(pulls: readonly Pull[], which: 'entry' | 'exit'): number[] {
  return pulls.flatMap((p) => (p[which] !== undefined && p.byWaterline[which] ? [p[which]] : []));
}

/**
 * A camera 0.85 m above the water and 5.5 m away sees the surface at a hand that is 0.23 m nearer this much below the line
 * drawn at the body, and at the far hand above it; a camera 0.45 m under water the other way round, by half as much
 * (similar triangles; judgement of the places).
 */
const NEAR_LINE_M = (0.85 * 0.23) / DISTANCE_M;
/** The height of the camera and the place of the hand differ by half of that from film to film (judgement). */
const NEAR_LINE_SHARE = 0.5;

/** Height at which a camera above water sees a hand pass the surface, against the line drawn at the body, in metres. */
export function lineAtHand(scene: Scene, side: Arm): number {
  if (scene.view !== 'side-above' || scene.nearSide === undefined) return 0;
  return scene.nearSide === side ? -NEAR_LINE_M : NEAR_LINE_M;
}

/**
 * How much a value changes when the surface is elsewhere than drawn. Only for moments read from the waterline: a hand that
 * goes out of sight at the surface shows the moment itself.
 * @param moments in frames
 * @param series the value frame by frame
 * @returns standard deviation in the unit of the series; 0 without such moments
 */
export function surfaceSd(
  scene: Scene,
  side: Arm,
  moments: readonly number[],
  series: readonly number[],
): number {
  const up = coordinate(scene, `${side}-hand`, 'up', 'smooth');
  const height =
    scene.view === '3d'
      ? waterlineSd(scene)
      : Math.hypot(waterlineSd(scene), NEAR_LINE_M * (scene.nearSide ? NEAR_LINE_SHARE : 1));
  const changes = moments.map((at) => {
    const here = valueAt(up, at);
    const [one, other] = ([1, -1] as const).map((step) => passing(up, at, step, here, height));
    return (valueAt(series, one!) - valueAt(series, other!)) / 2;
  });
  return meanSize(finite(changes).map(Math.abs));
}

/** Frame at which the hand is `height` away from where it was, going one way in time; the last one seen, if it never is. */
function passing(up: readonly number[], at: number, step: 1 | -1, here: number, height: number): number {
  let i = step === 1 ? Math.ceil(at) : Math.floor(at);
  let last = at;
  for (; Number.isFinite(up[i]); i += step) {
    const off = Math.abs(up[i]! - here);
    if (off >= height) {
      const before = Math.abs(valueAt(up, last) - here);
      return last + ((i - last) * (height - before)) / (off - before);
    }
    last = i;
  }
  return last;
}
