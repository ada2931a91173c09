/** Angles frame by frame, for a chart. */
import { elbowSeries } from './elbow.ts';
import { forearmPitchSeries } from './forearm.ts';
import { neckSeries } from './head.ts';
import { kneeBendSeries } from './legs.ts';
import { SIDES } from './quantity.ts';
import { rollSeries } from './roll.ts';
import type { Scene } from './scene.ts';
import { trunkIncline } from './trunk.ts';

/**
 * Only angles that the view can show.
 * @returns degrees by name; null where a point is missing. Names without any value are left out
 */
export function seriesOf(scene: Scene): Record<string, (number | null)[]> {
  const sideways = scene.axes.includes('forward') && scene.axes.includes('up');
  const endOn = scene.axes.includes('left') && scene.axes.includes('up');
  const all: Record<string, readonly number[] | undefined> = {
    ...(sideways && { 'trunk-incline': trunkIncline(scene)?.series, 'neck-extension': neckSeries(scene) }),
    ...(endOn && {
      'shoulder-roll': rollSeries(scene, 'shoulder', 'smooth'),
      'hip-roll': rollSeries(scene, 'hip', 'smooth'),
    }),
  };
  for (const side of SIDES) {
    if (endOn) all[`${side}-elbow-angle`] = elbowSeries(scene, side);
    if (sideways) {
      all[`${side}-forearm-pitch`] = forearmPitchSeries(scene, side);
      all[`${side}-knee-bend`] = kneeBendSeries(scene, side, 'smooth');
    }
  }
  return Object.fromEntries(
    Object.entries(all).flatMap(([name, values]) =>
      values?.some(Number.isFinite)
        ? [[name, values.map((v) => (Number.isFinite(v) ? v : null))] as const]
        : [],
    ),
  );
}
