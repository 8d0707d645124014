import { expect, test } from 'vitest';
import { DEFAULT_CALIBRATION } from '../../../server/engine/calibrate/calibration.ts';
import { drawnLog } from '../../web/longWays.ts';
import { expectSameInOneScratch } from './checkedTakes.ts';

const CALIBRATIONS = [
  { ...DEFAULT_CALIBRATION, bias: 'auto' as const },
  { ...DEFAULT_CALIBRATION, mount: { tip: '-y', side: '+z' } as const, accelScale: 0.97 },
  { ...DEFAULT_CALIBRATION, bias: { knots: [] } },
];

test.each([1, 2, 3, 4, 5, 6])(
  'a check that writes over the rates of its motion finds the same, seed %i',
  (seed) => {
    const raw = drawnLog(seed, seed % 2 ? 4000 : 0);
    const { lines } = expectSameInOneScratch(raw, CALIBRATIONS[seed % 3]!);
    // There are rests, and so a bias whose removal writes over the rates.
    expect(lines.find(({ id }) => id === 'bias')).toMatchObject({ bias: { stretches: expect.any(Number) } });
  },
);
