import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { PROGRAM_VERSION } from '../../../server/engine/base/version.ts';
import { DEFAULT_CALIBRATION } from '../../../server/engine/calibrate/calibration.ts';
import { basisFingerprint } from '../../../server/engine/kept/evidenceTake.ts';
import { fingerprint, fnv1a } from '../../../server/engine/kept/fingerprint.ts';
import { formatKeptFile } from '../../../server/engine/kept/keptFile.ts';
import { marginOf, withOwn } from '../../../server/engine/kept/margins.ts';
import { parseCandidateFile } from '../../../server/engine/settings/candidateFile.ts';
import { DEFAULT_CANDIDATE, withField } from '../../../server/engine/settings/candidateRules.ts';

describe('fingerprints', () => {
  test('are FNV-1a: test vectors of its authors, from memory', () => {
    expect(fnv1a('')).toBe(0x811c9dc5);
    expect(fnv1a('a')).toBe(0xe40c292c);
    expect(fnv1a('foobar')).toBe(0xbf9cf968);
  });

  test('no two of many like texts are alike', () => {
    const texts = Array.from({ length: 20_000 }, (_, i) => `{"atUs":${i}}`);
    expect(new Set(texts.map(fingerprint)).size).toBe(texts.length);
  });

  test('a take changes with its labels, its calibration and its power button, and not with its names', () => {
    const labels = { presses: [], spans: [], swings: [] };
    const take = { labels, calibration: DEFAULT_CALIBRATION, mapping: {}, powerButton: 'power' };
    const base = basisFingerprint(take);
    const swing = { peakUs: 1, startUs: 0, endUs: 2, by: 'person' } as never;
    expect(basisFingerprint({ ...take, labels: { ...labels, swings: [swing] } })).not.toBe(base);
    expect(basisFingerprint({ ...take, powerButton: null })).not.toBe(base);
    expect(basisFingerprint({ ...take, calibration: { ...DEFAULT_CALIBRATION, leverArmM: 0.3 } })).not.toBe(
      base,
    );
    expect(basisFingerprint({ ...take, title: 'another' } as typeof take)).toBe(base);
    // Documents from before there were gestures hold none.
    expect(basisFingerprint({ ...take, labels: { ...labels, gestures: [] } })).toBe(base);
  });
});

describe('margins', () => {
  const values = [10, 20, 30, 40, 50];
  test('end before the first value with more wrong, on either side', () => {
    expect(marginOf(values, [5, 1, 1, 0, 2], 30)).toEqual({
      low: 20,
      high: 40,
      worseBelow: 10,
      worseAbove: 50,
    });
  });
  test('stay open where nothing worse was tried', () => {
    expect(marginOf(values, [1, 1, 1, 1, 1], 30)).toEqual({
      low: 10,
      high: 50,
      worseBelow: null,
      worseAbove: null,
    });
  });
  test('a value between those of the map is tried as well', () => {
    const tried = withOwn(values, 33);
    expect(tried).toEqual([10, 20, 30, 33, 40, 50]);
    expect(marginOf(tried, [2, 2, 2, 1, 2, 2], 33)).toEqual({
      low: 33,
      high: 33,
      worseBelow: 30,
      worseAbove: 40,
    });
  });
});

test('the version that evidence tells of is that of the package', () => {
  expect(PROGRAM_VERSION).toBe(JSON.parse(readFileSync('package.json', 'utf8')).version);
});

describe('the file of a kept setting, opened for its candidate', () => {
  const candidate = withField(DEFAULT_CANDIDATE, 'guard.speedDps', 150);
  const kept = {
    name: 'Lead spinner',
    prop: '',
    performers: [],
    note: '',
    keptAt: '',
    candidate,
    evidence: null,
  };
  const changed = (change: (document: Record<string, unknown>) => unknown) =>
    JSON.stringify(change(JSON.parse(formatKeptFile(kept))));

  test('gives the candidate', () => {
    expect(parseCandidateFile(formatKeptFile(kept))).toEqual(candidate);
  });

  test.each([
    ['of a newer program', (one: object) => ({ ...one, version: 2 }), /version: a newer version/],
    [
      'without a version',
      (one: object) => ({ ...one, version: undefined }),
      /version: must be a whole number/,
    ],
    ['without a candidate', (one: object) => ({ ...one, candidate: undefined }), /candidate: is missing/],
  ])('is refused %s', (_, change, message) => {
    expect(() => parseCandidateFile(changed(change))).toThrow(message);
  });

  test('is refused where the candidate in it is of a newer program, or wrong, by its place', () => {
    const inside = (of: (candidate: Record<string, unknown>) => unknown) =>
      changed((one) => ({ ...one, candidate: of(one['candidate'] as Record<string, unknown>) }));
    expect(() => parseCandidateFile(inside((one) => ({ ...one, version: 999 })))).toThrow(
      /^candidate\.version: a newer/,
    );
    expect(() => parseCandidateFile(inside((one) => ({ ...one, guard: { speedDps: 1 } })))).toThrow(
      /^candidate\.guard\./,
    );
  });
});
