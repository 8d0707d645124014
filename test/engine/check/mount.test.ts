import { describe, expect, test } from 'vitest';
import { DEFAULT_CALIBRATION, withMount } from '../../../server/engine/calibrate/calibration.ts';
import { assumesMount } from '../../../server/engine/check/checkSignals.ts';
import type { LeverLine } from '../../../server/engine/check/lever.ts';
import { assumedMountText, keptMountText, otherAxesText } from '../../../server/engine/words/mount.ts';
import { check, lineOf, sensor, take } from './checkedTakes.ts';

const X = DEFAULT_CALIBRATION.mount;
/** Swings so gentle that they do not show where the blade is. */
const GENTLE = take({ peakDps: 60 });

describe('a take whose mount nobody has stated', () => {
  const assumed = check(GENTLE.log);

  test('assumes it where the swings do not prove it, and says what rests on that', () => {
    expect(assumesMount(assumed)).toBe(true);
    const { state, finding, advice, distrust } = lineOf(assumed, 'lever');
    expect(state).toBe('caution');
    expect(finding).toContain('Nobody has said which way the blade points: the sensor’s +x is taken.');
    expect(advice).toContain('Say on the calibration card which way the blade points.');
    expect(distrust).toContain('swing speed, and with it the guard, as the mount is assumed');
    expect(assumed.verdict).toBe('care');
  });

  test('assumes it no longer once somebody states the very axis that was taken', () => {
    const stated = check(GENTLE.log, { calibration: withMount(DEFAULT_CALIBRATION, X) });
    expect(assumesMount(stated)).toBe(false);
    expect(lineOf(stated, 'lever').finding).not.toContain('Nobody has said');
  });

  test('has it proven by swings that show the blade there', () => {
    expect(assumesMount(check(take().log))).toBe(false);
  });

  test('assumes it where the swings show the blade elsewhere', () => {
    const turned = { ...sensor(), mount: { tip: '+z', side: '+x' } } as const;
    const checked = check(take({ sensor: turned }).log);
    expect(assumesMount(checked)).toBe(true);
    expect(lineOf(checked, 'lever').finding).toMatch(/the blade \d+° away/);
  });

  test('tells how much swing speed there would be along each axis, as the rates have it', () => {
    const { axes } = assumed.lines.find((line): line is LeverLine => line.id === 'lever')!;
    const { gyroXDps: x, gyroYDps: y, gyroZDps: z } = GENTLE.log;
    const rms = (a: Float64Array, b: Float64Array) =>
      Math.sqrt(a.reduce((sum, one, i) => sum + one ** 2 + b[i]! ** 2, 0) / a.length);
    // The grid interpolates between samples that a clock has shifted by less than one.
    for (const [k, own] of [rms(y, z), rms(x, z), rms(x, y)].entries())
      expect(Math.abs(axes[k]! / own - 1)).toBeLessThan(0.01);
  });
});

test.each([
  [[100, 101, 60], 'along y it would be the same and along z 40 % lower'],
  [[100, 150, 200], 'along y 50 % higher and along z 100 % higher'],
] as const)('speeds of %j along the axes: %s', (axes, words) => {
  expect(otherAxesText(axes)).toContain(words);
});

test('without rates nothing is said of other axes', () => {
  expect(otherAxesText([Number.NaN, Number.NaN, Number.NaN])).toBe('');
});

test.each([
  [0, 3, ''],
  [1, 1, 'The mount is assumed: '],
  [2, 3, 'In 2 of 3 takes the mount is assumed: '],
] as const)('%i of %i takes: "%s"', (assumed, of, start) => {
  const text = assumedMountText(assumed, of);
  expect(start === '' ? text === '' : text.startsWith(start)).toBe(true);
});

test('of a kept setting only takes that count are counted', () => {
  const takes = [
    { isMountAssumed: true, leftOut: null },
    { isMountAssumed: true, leftOut: 'no motion' },
    { leftOut: null },
  ];
  expect(keptMountText(takes)).toContain('In 1 of 2 takes');
});
