import { expect, test } from 'vitest';
import { DEFAULT_CALIBRATION } from '../../../server/engine/calibrate/calibration.ts';
import { generateHeader } from '../../../server/engine/prop/c99/generate.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';

const mount = { tip: '-y', side: '+x' } as const;

function constantsOf(smoothing: (typeof DEFAULT_CANDIDATE)['smoothing']): ReadonlyMap<string, string> {
  const calibration = { ...DEFAULT_CALIBRATION, mount };
  const { text } = generateHeader(
    { candidate: { ...DEFAULT_CANDIDATE, smoothing }, calibration, rateHz: 208 },
    [],
  );
  const lines = [...text.matchAll(/^#define PROP_(\w+) (.*?)(?: \/\*.*)?$/gm)];
  return new Map(lines.map(([, name, value]) => [name!, value!]));
}

test('the header holds all that its dialog asks of the prop: how the sensor sits, its rate, arm and factor', () => {
  const constants = constantsOf(DEFAULT_CANDIDATE.smoothing);
  // The tip along the sensor’s −y, the side along +x: the third axis follows by the right hand.
  expect(constants.get('MOUNT_MATRIX')!.replace(/\s/g, '')).toBe(
    '{{0.0,(-1.0),0.0},{1.0,0.0,0.0},{0.0,0.0,1.0}}',
  );
  for (const name of ['RATE_HZ', 'ARM_M', 'ACCEL_SCALE']) expect(constants.has(name)).toBe(true);
});

test.each(['none', 'firstOrder', 'butterworth', 'movingAverage', 'median'] as const)(
  'a smoothing of kind %s has its own numbers as constants, and no others',
  (kind) => {
    const smoothing = { ...DEFAULT_CANDIDATE.smoothing, kind, order: 4, cutoffHz: 30, lengthMs: 45 } as const;
    const names = ['SMOOTHING_ORDER', 'SMOOTHING_CUTOFF_HZ', 'SMOOTHING_LENGTH_MS'];
    const constants = constantsOf(smoothing);
    expect(names.map((name) => Number(constants.get(name) ?? Number.NaN))).toEqual(
      {
        none: [Number.NaN, Number.NaN, Number.NaN],
        firstOrder: [Number.NaN, 30, Number.NaN],
        butterworth: [4, 30, Number.NaN],
        movingAverage: [Number.NaN, Number.NaN, 45],
        median: [Number.NaN, Number.NaN, 45],
      }[kind],
    );
  },
);
