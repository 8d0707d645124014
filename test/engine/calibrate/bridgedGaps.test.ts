import { expect, test } from 'vitest';
import type { UniformLog } from '../../../server/engine/base/log.ts';
import { bridgeShortGaps } from '../../../server/engine/calibrate/bridgedGaps.ts';
import { uniformLog } from '../uniformLogs.ts';

/** A ramp of rate at 200 Hz, cut at sample 100, with `missing` rows lost there and the force changed by `stepG`. */
function cut(missing: number, stepG = 0): UniformLog {
  const at = (n: number) => (n < 100 ? n : n + missing);
  const log = uniformLog(
    200,
    { gyroXDps: (n) => 2 * at(n), accelZG: () => 1, accelXG: (n) => (n < 100 ? 0 : stepG) },
    { rateHz: 200 },
  );
  return {
    ...log,
    timeUs: log.timeUs.map((_, n) => at(n) * 5000),
    segments: [
      { start: 0, end: 100 },
      { start: 100, end: 200 },
    ],
  };
}

test('rows lost for up to 30 ms are filled along a straight line', () => {
  const { segments, gyroXDps, accelZG } = bridgeShortGaps(cut(4));
  expect(segments).toEqual([{ start: 0, end: 204 }]);
  expect(gyroXDps).toEqual(Float64Array.from({ length: 204 }, (_, n) => 2 * n));
  expect(accelZG).toEqual(new Float64Array(204).fill(1));
});

test.each([
  ['a longer hole', cut(20)],
  ['a force that is another behind the hole: two recordings, joined', cut(4, 0.5)],
])('%s stays', (_name, log) => {
  const bridged = bridgeShortGaps(log);
  expect(bridged.segments).toEqual(log.segments);
  expect(bridged.gyroXDps).toEqual(log.gyroXDps);
});
