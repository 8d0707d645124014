import { describe, expect, test } from 'vitest';
import { DEFAULT_CALIBRATION, isMountStated, withMount } from '../../server/engine/calibrate/calibration.ts';
import type { FoundCalibration } from '../../server/engine/check/findCalibration.ts';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import { isNew, labelsToLookAt, partsToAccept, withFound } from '../../web/panels/calibration/accept.ts';
import { merged } from '../../web/panels/calibration/copyCalibration.ts';

const SET = { ...DEFAULT_CALIBRATION, bias: 'auto' } as const;

const FOUND: FoundCalibration = {
  bias: null,
  scale: { accelScale: 1.023456, scatter: 0.001, stretches: 3, turnedDeg: 90, doubt: null, isSure: true },
  mount: {
    mount: { tip: '-z', side: '+y', correctionDeg: [0, 3.1372, -0.00001] },
    offDeg: 90,
    coneDeg: 2,
    isSure: true,
  },
  arm: { leverArmM: 0.31849, lowM: 0.31, highM: 0.33, spread: null, isSure: false },
};

describe('accepting what was found', () => {
  test('takes the parts named, rounded to what anyone can tell, and leaves the rest', () => {
    expect(withFound(SET, FOUND, ['arm'])).toEqual({ ...SET, leverArmM: 0.318 });
    expect(withFound(SET, FOUND, ['mount', 'scale'])).toEqual({
      ...SET,
      accelScale: 1.0235,
      mount: { tip: '-z', side: '+y', correctionDeg: [0, 3.1, 0] },
      isMountStated: true,
    });
  });

  test('another mount tells of the labels that were confirmed by the old one, and of no others', () => {
    const turned = withFound(SET, FOUND, ['mount']);
    const swing = { startUs: 0, endUs: 9, peakUs: 5 };
    const labels = {
      ...EMPTY_LABELS,
      presses: [{ downUs: 5, button: 'power', intent: 'stray', by: 'person' }],
      swings: [
        { ...swing, by: 'person' },
        { ...swing, by: 'program' },
      ],
    } as const;
    expect(labelsToLookAt(SET, turned, labels)).toBe(
      ' 1 label that you confirmed by the old mount stays: look at it again.',
    );
    expect(labelsToLookAt(SET, withFound(SET, FOUND, ['scale']), labels)).toBe('');
    expect(labelsToLookAt(SET, turned, { ...labels, swings: labels.swings.slice(1) })).toBe('');
  });

  test('offers only what is sure', () => {
    expect(partsToAccept(SET, FOUND)).toEqual(['mount', 'scale']);
  });

  test('offers nothing again that is accepted already', () => {
    const accepted = withFound(SET, FOUND, ['mount', 'scale']);
    expect(partsToAccept(accepted, FOUND)).toEqual([]);
    expect(isNew(accepted, FOUND, 'arm')).toBe(true);
  });

  test('of nothing found is nothing', () => {
    const none = { bias: null, scale: null, mount: null, arm: null };
    expect(withFound(SET, none, ['arm', 'mount', 'scale'])).toEqual(SET);
    expect(partsToAccept(SET, none)).toEqual([]);
  });
});

describe('using a calibration for another take', () => {
  const own = { ...SET, leverArmM: 0.5, bladeLengthM: 1, accelScale: 0.97 };
  const from = { ...SET, mount: { tip: '+y', side: '+z' }, leverArmM: 0.2, accelScale: 1.01 } as const;

  test.each([
    [
      'the sensor’s part',
      { sensor: true, arm: false },
      { ...own, mount: from.mount, isMountStated: true, accelScale: 1.01 },
    ],
    [
      'the hold’s part',
      { sensor: false, arm: true },
      { ...own, leverArmM: 0.2, bladeLengthM: from.bladeLengthM },
    ],
    ['both', { sensor: true, arm: true }, { ...from, isMountStated: true }],
  ])('shares %s and no more', (_name, parts, wanted) => {
    expect(merged(own, from, parts)).toEqual(wanted);
  });

  test('a mount that is only assumed stays so, whatever was said of the other take', () => {
    const stated = withMount(own, from.mount);
    expect(isMountStated(merged(stated, SET, { sensor: true, arm: false }))).toBe(false);
    expect(isMountStated(merged(SET, withMount(SET, SET.mount), { sensor: true, arm: false }))).toBe(true);
  });
});
