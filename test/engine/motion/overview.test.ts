import { expect, test } from 'vitest';
import { buildTimeBase } from '../../../server/engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../../../server/engine/calibrate/calibration.ts';
import { computeMotion } from '../../../server/engine/motion/motion.ts';
import { speedOverview } from '../../../server/engine/motion/overview.ts';
import { computeSignals } from '../../../server/engine/motion/signals.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { wildLog } from '../uniformLogs.ts';

test.each([
  ['in one stretch', [{ start: 0, end: 30_000 }]],
  [
    'with gaps',
    [
      { start: 0, end: 9000 },
      { start: 9000, end: 9400 },
      { start: 9400, end: 30_000 },
    ],
  ],
  ['shorter than the overview has stretches', [{ start: 0, end: 700 }]],
])(
  'a take %s: every sample of the swing speed that the page computes lies in its stretch',
  (_name, segments) => {
    const log = wildLog(5, segments.at(-1)!.end, { segments, stillSamples: 400 });
    const { uniform } = buildTimeBase(log);
    const { smoothing } = DEFAULT_CANDIDATE;
    const calibration = { ...DEFAULT_CALIBRATION, mount: { tip: '+y', side: '-z' } as const };
    const overview = speedOverview(structuredClone(uniform), calibration, smoothing);
    const { swingSpeedDps, timeUs } = computeSignals(
      computeMotion(uniform, calibration),
      DEFAULT_CANDIDATE,
      [],
    );
    const count = overview.lowsDps.length;
    expect(overview.durationUs).toBe(timeUs.at(-1));
    expect(overview.highsDps).toHaveLength(count);
    const found = Array.from({ length: count }, () => ({ low: Infinity, high: -Infinity }));
    swingSpeedDps.forEach((dps, i) => {
      const stretch = found[Math.min(count - 1, Math.floor((timeUs[i]! * count) / overview.durationUs))]!;
      stretch.low = Math.min(stretch.low, dps);
      stretch.high = Math.max(stretch.high, dps);
    });
    const shown = (dps: number) => (Number.isFinite(dps) ? Math.round(dps * 100) / 100 : null);
    expect(overview.lowsDps).toEqual(found.map(({ low }) => shown(low)));
    expect(overview.highsDps).toEqual(found.map(({ high }) => shown(high)));
    expect(overview.highsDps.includes(null)).toBe(segments.length > 1 || timeUs.length < count);
  },
);
