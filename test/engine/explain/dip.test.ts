import { describe, expect, test } from 'vitest';
import { runGuard } from '../../../server/engine/detect/guard.ts';
import { judgePresses } from '../../../server/engine/detect/presses.ts';
import { dipAt, dipPicture } from '../../../server/engine/explain/dip.ts';
import type { SpeedSignals } from '../../../server/engine/motion/signals.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';

/** 100 Hz. One character a sample: `H` 400 °/s, `.` 20 °/s, `?` no data. */
function signalsOf(trace: string): SpeedSignals {
  const swingSpeedDps = Float64Array.from(trace, (c) => ({ H: 400, '.': 20 })[c] ?? Number.NaN);
  return {
    rateHz: 100,
    timeUs: Float64Array.from(trace, (_c, i) => i * 10_000),
    segments: [{ start: 0, end: trace.length }],
    swingSpeedDps,
    trueSpeedDps: swingSpeedDps,
    saturated: new Uint8Array(trace.length),
  } as SpeedSignals;
}

function verdictAt(signals: SpeedSignals, sample: number) {
  const { guard } = DEFAULT_CANDIDATE;
  const press = { button: 'power', downUs: sample * 10_000, upUs: sample * 10_000 + 50_000 };
  return judgePresses(signals, runGuard(signals, guard), [press], guard)[0]!;
}

describe('the dip around a press', () => {
  test.each([
    ['from the last fast sample to the next', 'HHH....HHH', 5, { fromUs: 20_000, untilUs: 70_000 }],
    ['without an end', 'HHH.......', 5, { fromUs: 20_000, untilUs: null }],
    ['without a beginning', '......HHHH', 3, { fromUs: null, untilUs: 60_000 }],
    ['an end behind missing data is none', 'HHH...?HHH', 4, { fromUs: 20_000, untilUs: null }],
    ['a press while the guard is closed has none to speak of', 'HHHHHHHHHH', 4, { untilUs: 40_000 }],
  ])('%s', (_name, trace, sample, expected) => {
    const signals = signalsOf(trace);
    const dip = dipAt(signals, verdictAt(signals, sample));
    expect(dip).toMatchObject({ ...expected, atUs: sample * 10_000 });
  });

  test('a press without data has none', () => {
    const signals = signalsOf('HHH???HHH');
    expect(dipAt(signals, verdictAt(signals, 4))).toBeNull();
  });

  test('its picture holds the dip and the swings beside it, thinned, and nothing from afar', () => {
    const trace = 'H'.repeat(200) + '.'.repeat(30) + 'H'.repeat(200);
    const signals = signalsOf(trace);
    const picture = dipPicture(signals, verdictAt(signals, 210))!;
    expect([picture.fromUs, picture.untilUs]).toEqual([1_990_000, 2_300_000]);
    expect([picture.startUs, picture.endUs]).toEqual([1_990_000 - 248_000, 2_300_000 + 248_000]);
    expect(picture.timesUs.length).toBe(picture.speedsDps.length);
    expect(picture.timesUs.length).toBeLessThanOrEqual(160);
    expect(picture.timesUs[0]).toBeGreaterThanOrEqual(picture.startUs);
    expect(picture.timesUs.at(-1)).toBeLessThanOrEqual(picture.endUs);
    expect(Math.min(...picture.speedsDps)).toBe(20);
  });
});
