import { expect, test } from 'vitest';
import { judgeSpins, judgeStops, scoreMotion } from '../../../../server/engine/choose/motion/motionScore.ts';
import { runGuard } from '../../../../server/engine/detect/guard.ts';
import { fakeSignals } from '../../fakeSignals.ts';
import { drawn, guard } from '../drawnTake.ts';

// One character per 100 ms; a spin of 2 s, its guard at 300 °/s, then a stop.
const TRACE = '..44444144444444144..................'.replaceAll('.', '0');
const signals = fakeSignals({ swingSpeedDps: drawn(TRACE) }, { rateHz: 10 });
const spins = [{ startUs: 200_000, endUs: 1_900_000 }];
/** Its last sample at or above the guard's speed lies at 1.8 s. */
const stopsUs = [1_800_000];

test.each([
  ['without a hold both dips are open: 2 of 17 samples', 0, 2 / 17, 0],
  ['a hold of two samples bridges the dips and opens a sample later', 200, 0, 200],
  ['a hold of four samples', 400, 0, 400],
])('%s', (_name, holdMs, openShare, waitMs) => {
  const closed = runGuard(signals, guard({ speedDps: 300, holdMs }));
  expect(judgeSpins(signals, closed, spins)).toEqual([
    { startUs: 200_000, openShare, isOpen: openShare > 0.05 },
  ]);
  const [stop] = judgeStops(signals, closed, stopsUs, 300);
  expect(stop).toEqual({ stopUs: 1_800_000, waitMs: Math.max(100, waitMs), isLate: waitMs > 300 });
});

test.each([
  ['a guard closed to the second’s end has no wait', 1500, null, true],
  ['a press is wanted from the patience on: a guard that opens just then is in time', 300, 300, false],
])('%s', (_name, holdMs, waitMs, isLate) => {
  const closed = runGuard(signals, guard({ speedDps: 300, holdMs }));
  expect(judgeStops(signals, closed, stopsUs, 300)).toEqual([{ stopUs: 1_800_000, waitMs, isLate }]);
});

test('a guard that closes again within the second is late, whatever its hold', () => {
  const again = fakeSignals({ swingSpeedDps: drawn('0444000004000000000000000') }, { rateHz: 10 });
  const closed = runGuard(again, guard({ speedDps: 300 }));
  expect(judgeStops(again, closed, [300_000], 300)).toEqual([{ stopUs: 300_000, waitMs: 700, isLate: true }]);
});

test('without spins or stops there is no share and no wait', () => {
  const units = { spins: [], stopsUs: [], isConfirmed: false, waiting: { spins: 0, stops: 0 } };
  const score = scoreMotion(signals, runGuard(signals, guard()), units, 300);
  expect(score).toMatchObject({
    openShare: null,
    worst: null,
    waitMs: null,
    spinsOpen: { n: 0, interval: null },
  });
});
