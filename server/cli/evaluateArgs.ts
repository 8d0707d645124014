import type { AxisName, Mount } from '../engine/mount.ts';
import { AXIS_NAMES, IDENTITY_MOUNT } from '../engine/mount.ts';
import { UsageError } from './io.ts';

/** @throws UsageError  unless it is a length in metres between -5 and 5 */
export function readLeverArm(text: string | undefined): number {
  if (text === undefined) return 0;
  const leverArmM = Number(text);
  if (text.trim() === '' || !(Math.abs(leverArmM) <= 5)) {
    throw new UsageError(`--lever-arm must be a length in metres, got "${text}"`);
  }
  return leverArmM;
}

/** Reads `tip=+x,side=+y`. @throws UsageError  where an axis is none or both are one */
export function readMount(text: string | undefined): Mount {
  if (text === undefined) return IDENTITY_MOUNT;
  const parts = new Map(
    text.split(',').map((part) => part.trim().split('=') as [string, string | undefined]),
  );
  const tip = readAxis(text, parts.get('tip'));
  const side = readAxis(text, parts.get('side'));
  if (parts.size !== 2 || tip[1] === side[1])
    throw new UsageError(`--mount wants two different axes, got "${text}"`);
  return { tip, side };
}

function readAxis(text: string, axis: string | undefined): AxisName {
  const found = AXIS_NAMES.find((name) => name === axis);
  if (!found)
    throw new UsageError(`--mount wants tip=+x,side=+y (axes ${AXIS_NAMES.join(', ')}), got "${text}"`);
  return found;
}
