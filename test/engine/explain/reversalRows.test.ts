import { describe, expect, test } from 'vitest';
import { runGuard } from '../../../server/engine/detect/guard.ts';
import { judgePresses } from '../../../server/engine/detect/presses.ts';
import {
  holdCurve,
  holdsNeededMs,
  isHeldThrough,
  reversalRows,
} from '../../../server/engine/explain/reversalRows.ts';
import { EMPTY_LABELS } from '../../../server/engine/labels/labels.ts';
import { drawn, guard, labelled } from '../choose/drawnTake.ts';
import { fakeSignals } from '../fakeSignals.ts';

// 100 Hz; reversals in the middle of the dips
const signals = fakeSignals({ swingSpeedDps: drawn('555520002555500555524442555') }, { rateHz: 100 });
const reversals = [6, 14, 21].map((index) => ({
  index,
  timeUs: signals.timeUs[index]!,
  lowestDps: signals.swingSpeedDps[index]!,
  turnDeg: 175,
  peakBefore: 0,
  peakAfter: 26,
}));
const presses = [60_000, 155_000, 900_000].map((downUs) => ({ button: 'power', downUs, upUs: null }));

function rows(settings: Parameters<typeof guard>[0]) {
  const used = guard(settings);
  const verdicts = judgePresses(signals, runGuard(signals, used), presses, used);
  const labels = labelled(presses, () => 'stray');
  return reversalRows({ signals, reversals, verdicts, labels, guard: used });
}

describe('rows', () => {
  test('dip width and hold needed are those at the guard’s speed', () => {
    expect(rows({ speedDps: 300 }).map((row) => [row.dipMs, row.holdNeededMs])).toEqual([
      [60, 60],
      [30, 30],
      [20, 20],
    ]);
    expect(rows({ speedDps: 100 }).map((row) => row.dipMs)).toEqual([40, 30, 0]);
    expect(rows({ speedDps: 600 }).map((row) => row.dipMs)).toEqual([null, null, null]);
  });

  test('a release ratio shortens the hold, not the dip', () => {
    const [first] = rows({ speedDps: 300, releaseRatio: 0.5 });
    expect([first!.dipMs, first!.holdNeededMs]).toEqual([60, 50]);
  });

  // 10 ms a sample, and the dip of 30 ms is 3 of them
  test('whether the guard stays closed through one is what the detector says, also for a hold between two samples', () => {
    const row = rows({ speedDps: 300 })[1]!;
    const isClosed = (holdMs: number) =>
      !runGuard(signals, guard({ speedDps: 300, holdMs }))
        .subarray(12, 16)
        .includes(0);
    for (const holdMs of [0, 10, 19, 20, 20.1, 21, 29, 30, 31, 60])
      expect([holdMs, isHeldThrough(row, holdMs)]).toEqual([holdMs, isClosed(holdMs)]);
    expect(isHeldThrough(row, 20)).toBe(false);
    expect(isHeldThrough(row, 21)).toBe(true);
  });

  test('presses within a quarter of a second are told, with their fate and distance', () => {
    const [first, second] = rows({ speedDps: 300 });
    expect(first!.pressesNear).toEqual([
      { downUs: 60_000, offsetMs: 0, intent: 'stray', accepted: true },
      { downUs: 155_000, offsetMs: 95, intent: 'stray', accepted: false },
    ]);
    expect(second!.pressesNear.map((press) => press.offsetMs)).toEqual([-80, 15]);
    const unlabelled = reversalRows({
      signals,
      reversals,
      verdicts: judgePresses(signals, runGuard(signals, guard()), presses, guard()),
      labels: EMPTY_LABELS,
      guard: guard(),
    });
    expect(unlabelled[0]!.pressesNear[0]!.intent).toBe(null);
  });
});

describe('the curve of holds', () => {
  test('holds at each speed, Infinity where none helps', () => {
    expect(holdsNeededMs(signals, reversals, 1, [100, 300, 600]).map((row) => [...row])).toEqual([
      [40, 60, Infinity],
      [30, 30, Infinity],
      [0, 20, Infinity],
    ]);
  });

  // Type 7 of Hyndman & Fan 1996: of 1..10 the quantiles 0.5, 0.9, 0.95 are 5.5, 9.1 and 9.55 [recomputed]
  test('its quantiles are of type 7', () => {
    const curve = holdCurve(
      [100],
      Array.from({ length: 10 }, (_, i) => Float64Array.of(10 - i)),
    );
    expect(curve.medianMs[0]).toBeCloseTo(5.5, 12);
    expect(curve.p90Ms[0]).toBeCloseTo(9.1, 12);
    expect(curve.p95Ms[0]).toBeCloseTo(9.55, 12);
    expect(curve.maxMs[0]).toBe(10);
    expect(curve.reversals).toBe(10);
  });

  test('a quantile is Infinity as soon as one that it rests on is, never NaN', () => {
    const curve = holdCurve(
      [100],
      [10, 20, 30, Infinity].map((ms) => Float64Array.of(ms)),
    );
    expect(curve.medianMs[0]).toBe(25);
    expect([curve.p90Ms[0], curve.p95Ms[0], curve.maxMs[0]]).toEqual([Infinity, Infinity, Infinity]);
    const two = holdCurve(
      [100],
      [Infinity, Infinity].map((ms) => Float64Array.of(ms)),
    );
    expect(two.medianMs[0]).toBe(Infinity);
  });
});
