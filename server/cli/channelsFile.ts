import type { Motion } from '../engine/motion/motion.ts';
import { type Signals, tipSpeedMps } from '../engine/motion/signals.ts';
import { writeOutput } from './outputFile.ts';
import type { OutputPlace } from './refuseOutput.ts';

const ROWS_AT_ONCE = 4096;

export type Column = readonly [string, (i: number) => number];

/** Writes the derived channels, one row a sample of the uniform time base. @throws FileError where it cannot */
export async function writeChannels(
  place: OutputPlace,
  motion: Motion,
  signals: Signals,
  closed: Uint8Array,
  bladeLengthM: number,
): Promise<void> {
  const columns = channelColumns(motion, signals, closed, bladeLengthM);
  await writeOutput(place, rowsOf(signals.timeUs, columns));
}

/** The derived channels, each with its name and its value at a sample. */
export function channelColumns(
  motion: Motion,
  signals: Signals,
  closed: Uint8Array,
  bladeLengthM: number,
): Column[] {
  return [
    ['swing_speed_dps', (i) => signals.swingSpeedDps[i]!],
    ['true_speed_dps', (i) => signals.trueSpeedDps[i]!],
    ['tip_speed_mps', (i) => tipSpeedMps(signals.swingSpeedDps[i]!, bladeLengthM)],
    ['thrust_g', (i) => signals.thrustG[i]!],
    ['twist_rate_dps', (i) => signals.twistRateDps[i]!],
    ['twist_deg', (i) => signals.twistDeg[i]!],
    ['swing_twist_deg', (i) => signals.swingTwistDeg[i]!],
    ['impact_g', (i) => signals.impactG[i]!],
    ['gravity_x_g', (i) => motion.gravityXG[i]!],
    ['gravity_y_g', (i) => motion.gravityYG[i]!],
    ['gravity_z_g', (i) => motion.gravityZG[i]!],
    ['guard_closed', (i) => closed[i]!],
    ['saturated', (i) => signals.saturated[i]!],
  ];
}

export function* rowsOf(timeUs: Float64Array, columns: readonly Column[]): Generator<string> {
  let text = `time_s,${columns.map(([name]) => name).join(',')}\n`;
  for (let i = 0; i < timeUs.length; ++i) {
    text += `${(timeUs[i]! / 1e6).toFixed(6)},${columns.map(([, read]) => cell(read(i))).join(',')}\n`;
    if ((i + 1) % ROWS_AT_ONCE !== 0) continue;
    yield text;
    text = '';
  }
  yield text;
}

/** Seven digits; empty where there is no value. */
function cell(value: number): string {
  return Number.isFinite(value) ? String(Number(value.toPrecision(7))) : '';
}
