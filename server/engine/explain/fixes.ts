import type { Press } from '../base/log.ts';
import { segmentAt } from '../base/timeBase.ts';
import { GuardDetector, type GuardSettings, guardReachSamples } from '../detect/guard.ts';
import { decisionUs, sampleOf } from '../detect/presses.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { settingAt } from '../settings/candidateRules.ts';

/** The smallest change of one setting, all others as they are, that would have refused the press. */
export interface Fix {
  readonly path: 'guard.speedDps' | 'guard.holdMs' | 'guard.releaseRatio' | 'guard.decideAt';
  readonly value: number | string;
}

/**
 * The smallest changes that would have refused a press that was let through: whole °/s and ms, hundredths of the release
 * ratio. Each one is tried on the detector before it is named; a setting that cannot help within its bounds is left out.
 */
export function smallestFixes(signals: SpeedSignals, press: Press, settings: GuardSettings): Fix[] {
  const momentUs = decisionUs(press, settings);
  const index = momentUs === null ? null : sampleOf(signals, momentUs);
  const fixes: Fix[] = [];
  if (index !== null) {
    const slip: Slip = { signals, settings, index, start: segmentAt(signals.segments, index).start };
    add(fixes, slip, 'holdMs', leastHoldMs(slip), 1);
    add(fixes, slip, 'speedDps', highestSpeed(slip), -1);
    add(fixes, slip, 'releaseRatio', highestRatio(slip), -0.01);
  }
  const other = otherMoment(signals, press, settings);
  if (other !== null) fixes.push(other);
  return fixes;
}

interface Slip {
  readonly signals: SpeedSignals;
  readonly settings: GuardSettings;
  /** The sample that judged the press. */
  readonly index: number;
  /** First sample of its segment. */
  readonly start: number;
}

/** Adds the value once the detector confirms it, or the next one where rounding put it on the wrong side. */
function add(
  fixes: Fix[],
  slip: Slip,
  name: 'speedDps' | 'holdMs' | 'releaseRatio',
  value: number | null,
  step: number,
): void {
  if (value === null) return;
  const path = `guard.${name}` as const;
  const { min, max } = settingAt(path);
  for (const candidate of [value, Number((value + step).toFixed(2))]) {
    if (!(candidate >= min && candidate <= max)) continue;
    if (!isClosedAt({ ...slip, settings: { ...slip.settings, [name]: candidate } })) continue;
    fixes.push({ path, value: candidate });
    return;
  }
}

function isClosedAt({ signals, settings, index, start }: Slip): boolean {
  const guard = new GuardDetector(settings, signals.rateHz);
  let isClosed = false;
  for (let i = start; i <= index; ++i) isClosed = guard.step(signals.swingSpeedDps[i]!);
  return isClosed;
}

/** The hold must reach from the last high sample to the press. */
function leastHoldMs({ signals, settings, index, start }: Slip): number | null {
  const speed = signals.swingSpeedDps;
  const releaseDps = settings.releaseRatio * settings.speedDps;
  let runEnd: number | null = null;
  for (let i = index; i >= start; --i) {
    if (!(speed[i]! >= releaseDps)) runEnd = null;
    else runEnd ??= i;
    if (speed[i]! >= settings.speedDps) return Math.floor(((index - runEnd!) * 1000) / signals.rateHz) + 1;
  }
  return null;
}

/**
 * The speed must be reached within the hold before the press; or earlier, if from then into the hold nothing fell below
 * the release speed.
 */
function highestSpeed({ signals, settings, index, start }: Slip): number | null {
  const speed = signals.swingSpeedDps;
  const first = firstInReach(signals, settings, index, start);
  let best = -Infinity;
  for (let i = first; i <= index; ++i) if (speed[i]! > best) best = speed[i]!;
  // Math.min keeps NaN: it ends the run, and with it the loop.
  let lowest = speed[first]!;
  for (let i = first - 1; i >= start && lowest / settings.releaseRatio > best; --i) {
    lowest = Math.min(lowest, speed[i]!);
    best = Math.max(best, Math.min(speed[i]!, lowest / settings.releaseRatio) || -Infinity);
  }
  return best > 0 ? Math.floor(best) : null;
}

/** The speed must stay at or above the release speed from the last sample at the guard's speed into the hold. */
function highestRatio({ signals, settings, index, start }: Slip): number | null {
  const speed = signals.swingSpeedDps;
  const first = firstInReach(signals, settings, index, start);
  let lowest = speed[first]!;
  for (let i = first - 1; i >= start && lowest > 0; --i) {
    lowest = Math.min(lowest, speed[i]!);
    if (speed[i]! >= settings.speedDps) return Math.floor((lowest / settings.speedDps) * 100) / 100;
  }
  return null;
}

function firstInReach(signals: SpeedSignals, settings: GuardSettings, index: number, start: number): number {
  return Math.max(start, index - guardReachSamples(settings.holdMs, signals.rateHz) + 1);
}

function otherMoment(signals: SpeedSignals, press: Press, settings: GuardSettings): Fix | null {
  const decideAt = settings.decideAt === 'press' ? 'release' : 'press';
  const momentUs = decisionUs(press, { ...settings, decideAt });
  const index = momentUs === null ? null : sampleOf(signals, momentUs);
  if (index === null) return null;
  const start = segmentAt(signals.segments, index).start;
  if (!isClosedAt({ signals, settings, index, start })) return null;
  return { path: 'guard.decideAt', value: decideAt };
}
