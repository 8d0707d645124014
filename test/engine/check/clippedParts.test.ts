import { expect, test } from 'vitest';
import type { MotionLog } from '../../../server/engine/base/log.ts';
import { buildTimeBase } from '../../../server/engine/base/timeBase.ts';
import { markClipped } from '../../../server/engine/check/clippedParts.ts';
import type { Clipping } from '../../../server/engine/check/clipping.ts';
import { fc } from '../properties.ts';

test('marks what reading the same samples as saturated marks, on a log of any pace', () => {
  const steps = fc.array(fc.constantFrom(2000, 6000, 10_000, 14_000, 200_000), {
    minLength: 4,
    maxLength: 40,
  });
  fc.assert(
    fc.property(steps, fc.nat(39), fc.integer({ min: 1, max: 5 }), (stepsUs, from, length) => {
      const timeUs = Float64Array.from([0, ...stepsUs]);
      for (let i = 1; i < timeUs.length; ++i) timeUs[i] = timeUs[i - 1]! + stepsUs[i - 1]!;
      const start = from % timeUs.length;
      const end = Math.min(timeUs.length, start + length);
      const zeros = new Float64Array(timeUs.length);
      const axes = { gyroXDps: zeros, gyroYDps: zeros, gyroZDps: zeros };
      const log: MotionLog = { timeUs, ...axes, accelXG: zeros, accelYG: zeros, accelZG: zeros };
      const saturated = new Uint8Array(timeUs.length).fill(1, start, end);
      const { uniform } = buildTimeBase(log, saturated);
      const run = { runs: [{ start, end }] } as unknown as Clipping;
      expect(markClipped(uniform.timeUs, log, [run])).toEqual(uniform.saturated);
    }),
    { numRuns: 300 },
  );
});
