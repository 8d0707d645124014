import type { ArmSensor } from '../simulate/armSensors.ts';
import { COVERAGE_KINDS, COVERAGE_SENSORS, type Coverage, measureCoverage } from './coverageTakes.ts';
import type { Print } from './pair.ts';

/** Takes of each kind of motion with each sensor. */
const TAKES = 200;

/** How often the intervals that a take's own signals give hold the truth, in hundredths, by motion and sensor. */
export function benchCoverage(print: Print, options: { readonly takes?: number } = {}): void {
  const takes = options.takes ?? TAKES;
  for (const kind of COVERAGE_KINDS) {
    for (const sensor of COVERAGE_SENSORS) print(line(kind, sensor, takes));
  }
}

function line(kind: string, sensor: ArmSensor, takes: number): string {
  const found = measureCoverage(kind as (typeof COVERAGE_KINDS)[number], sensor, takes);
  return `${kind}, ${sensor}: ${Object.entries(found).map(words).join('; ')}`;
}

function words([name, { held, of, unknown }]: [string, Coverage]): string {
  const share = of === 0 ? 'none' : `${held} of ${of} (${((100 * held) / of).toFixed(0)})`;
  return `${name} ${share}${unknown > 0 ? `, not known ${unknown}` : ''}`;
}
