/** Why a quantity cannot be given. */
import { sizeChanges } from './checks.ts';
import type { Reason } from './notes.ts';
import type { Quantity, Timing } from './quantity.ts';
import type { Scene } from './scene.ts';

/** Why a quantity whose points are there cannot be given; undefined when it can. */
export function refusal(scene: Scene, quantity: Quantity, timing: Timing): Reason | undefined {
  if (!quantity.views.includes(scene.view)) return 'view-cannot-show';
  if (quantity.needs.includes('scale') && (!scene.scale.known || sizeChanges(scene))) return 'scale-needed';
  if (quantity.needs.includes('waterline') && !scene.hasWaterline) return 'waterline-needed';
  if (quantity.needs.includes('cycle') && timing.period === undefined) return 'cycles-needed';
  return undefined;
}

/** Why nothing came out although nothing was refused. */
export function emptiness(scene: Scene, quantity: Quantity, timing: Timing): Reason {
  if (quantity.code === 'entry-reach' && scene.view !== '3d' && timing.armLengthM === undefined)
    return 'arm-length-needed';
  if (quantity.code === 'entry-offset' || quantity.code === 'entry-reach') {
    if (scene.view === 'overhead' || scene.view === 'side-above') return 'entry-needed';
    if (!scene.hasWaterline) return 'waterline-needed';
  }
  return quantity.leavesWater && scene.view !== '3d' ? 'out-of-sight' : 'moment-not-found';
}
