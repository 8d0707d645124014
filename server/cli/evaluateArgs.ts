import type { AxisName, Mount } from '../engine/base/mount.ts';
import { AXIS_NAMES, IDENTITY_MOUNT } from '../engine/base/mount.ts';
import { type Bounds, STATED_BOUNDS } from '../engine/base/statedBounds.ts';
import { type Calibration, DEFAULT_CALIBRATION } from '../engine/calibrate/calibration.ts';
import { PATIENCE } from '../engine/choose/motion/patience.ts';
import { UsageError } from './io.ts';
import { readStated } from './statedNumber.ts';

/** What the options state about the prop. @throws UsageError  for a number out of its bounds, or axes that are none */
export function readCalibration(values: Readonly<Record<string, unknown>>): Calibration {
  const text = (name: string) => values[name] as string | undefined;
  const stated = (name: string, bounds: Bounds, fallback: number) =>
    text(name) === undefined ? fallback : readStated(`--${name}`, text(name)!, bounds);
  return {
    ...DEFAULT_CALIBRATION,
    mount: readMount(text('mount')),
    ...(text('mount') !== undefined && { isMountStated: true }),
    leverArmM: stated('lever-arm', STATED_BOUNDS.leverArmM, DEFAULT_CALIBRATION.leverArmM),
    bladeLengthM: stated('blade-length', STATED_BOUNDS.bladeLengthM, DEFAULT_CALIBRATION.bladeLengthM),
  };
}

/** Time after a stop from which on a press is wanted, in ms. @throws UsageError  for a number out of its bounds */
export function readPatience(text: string | undefined): number {
  return text === undefined ? PATIENCE.default : readStated('--patience', text, PATIENCE);
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
