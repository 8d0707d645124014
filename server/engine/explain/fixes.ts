import type { Press } from '../base/log.ts';
import { segmentAt } from '../base/timeBase.ts';
import { GuardDetector, type GuardSettings, guardReachSamples } from '../detect/guard.ts';
import { actWindows, judgedSamples } from '../detect/pressRule.ts';
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
  const samples = samplesOf(signals, press, settings);
  const fixes: Fix[] = [];
  if (samples !== null) {
    const slip: Slip = {
      signals,
      settings,
      ...samples,
      start: segmentAt(signals.segments, samples.first).start,
    };
    add(fixes, slip, 'holdMs', most(slip, leastHoldMs), 1);
    add(fixes, slip, 'speedDps', least(slip, highestSpeed), -1);
    add(fixes, slip, 'releaseRatio', least(slip, highestRatio), -0.01);
  }
  const other = otherMoment(signals, press, settings);
  if (other !== null) fixes.push(other);
  return fixes;
}

/** The samples that judge a press; null where there are none. */
function samplesOf(signals: SpeedSignals, press: Press, settings: GuardSettings) {
  const window = actWindows([press], settings)[0]!;
  return typeof window === 'string' ? null : judgedSamples(signals, window);
}

interface Slip {
  readonly signals: SpeedSignals;
  readonly settings: GuardSettings;
  /** The samples that judged the press: the guard has to be closed at all of them. */
  readonly first: number;
  readonly last: number;
  /** First sample of its segment. */
  readonly start: number;
}

/** A sample that judged a press. */
type At = Omit<Slip, 'first' | 'last'> & { readonly index: number };

/** The largest of what each sample asks for; null where one cannot be had. */
function most(slip: Slip, of: (at: At) => number | null): number | null {
  let found: number | null = null;
  for (let index = slip.first; index <= slip.last; ++index) {
    const value = of({ ...slip, index });
    if (value === null) return null;
    found = Math.max(found ?? value, value);
  }
  return found;
}

function least(slip: Slip, of: (at: At) => number | null): number | null {
  const negative = most(slip, (at) => {
    const value = of(at);
    return value === null ? null : -value;
  });
  return negative === null ? null : -negative;
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
    if (!isClosedAll({ ...slip, settings: { ...slip.settings, [name]: candidate } })) continue;
    fixes.push({ path, value: candidate });
    return;
  }
}

/**
 * A sample at the guard's speed leaves it in the same state whatever came before, so the last one before the press is
 * where to begin; where there is none in the segment, nothing before the press has closed it.
 */
function isClosedAll({ signals, settings, first, last, start }: Slip): boolean {
  const guard = new GuardDetector(settings, signals.rateHz);
  let from = first;
  while (from >= start && !(signals.swingSpeedDps[from]! >= settings.speedDps)) --from;
  for (let i = from < start ? first : from; i <= last; ++i) {
    const isClosed = guard.step(signals.swingSpeedDps[i]!);
    if (i >= first && !isClosed) return false;
  }
  return true;
}

/** The hold must reach from the last high sample to the press. */
function leastHoldMs({ signals, settings, index, start }: At): number | null {
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
function highestSpeed({ signals, settings, index, start }: At): number | null {
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
function highestRatio({ signals, settings, index, start }: At): number | null {
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

/** Another moment to act at, once and not while held, at which the guard is closed. */
function otherMoment(signals: SpeedSignals, press: Press, settings: GuardSettings): Fix | null {
  const decideAt = settings.decideAt === 'press' ? 'release' : 'press';
  const samples = samplesOf(signals, press, { ...settings, decideAt });
  if (samples === null) return null;
  const start = segmentAt(signals.segments, samples.first).start;
  return isClosedAll({ signals, settings, ...samples, start })
    ? { path: 'guard.decideAt', value: decideAt }
    : null;
}
