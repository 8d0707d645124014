import { describe, expect, test } from 'vitest';
import { EMPTY_LABELS, intentOf, spinningSpans } from '../../../server/engine/labels/labels.ts';
import { mixedSpins, proposeSpinning, proposeStill } from '../../../server/engine/truth/spans.ts';
import { proposeSwings, type Swing, settleSwings } from '../../../server/engine/truth/swings.ts';
import { findTruth } from '../../../server/engine/truth/truth.ts';
import { fakeMotion } from '../fakeSignals.ts';

const RATE_HZ = 100;
/** Half sines of one swing each: peak in °/s and length in ms; a peak of 0 is a pause. One sample each 10 ms. */
const speedOf = (...parts: readonly (readonly [number, number])[]) =>
  parts.flatMap(([peakDps, lengthMs]) =>
    Array.from({ length: lengthMs / 10 }, (_, i) => peakDps * Math.sin((Math.PI * i * 10) / lengthMs)),
  );
const motionOf = (...parts: readonly (readonly [number, number])[]) =>
  fakeMotion([...speedOf(...parts), 0], { rateHz: RATE_HZ });
const ms = (swings: readonly Swing[]) =>
  swings.map((s) => [s.startUs / 1000, s.peakUs / 1000, s.endUs / 1000]);

describe('proposeSwings', () => {
  test('a swing goes from 10 % of its peak to 10 % of its peak', () => {
    const [swing, ...others] = proposeSwings(motionOf([0, 500], [500, 400], [0, 500]));
    expect(others).toEqual([]);
    // 500 sin(pi t / 400 ms) passes 50 at t = 12.75 ms: the first sample at or above stands at 20 ms.
    expect(swing).toMatchObject({
      startUs: 520_000,
      peakUs: 700_000,
      endUs: 880_000,
      saturated: false,
      by: 'program',
    });
    expect(swing?.peakDps).toBeCloseTo(500, 9);
  });

  test('two swings with a dip above 10 % between them meet at its lowest sample', () => {
    // |sin| lifted by 60: the dip stays at 60, above 10 % of 560.
    const lifted = speedOf([500, 400], [500, 400]).map((v) => v + 60);
    const swings = proposeSwings(fakeMotion([0, ...lifted, 60, 0], { rateHz: RATE_HZ }));
    expect(swings).toHaveLength(2);
    expect(swings[0]!.endUs).toBe(410_000);
    expect(swings[1]!.startUs).toBe(410_000);
  });

  test.each<[string, (readonly [number, number])[], number]>([
    ['a peak of 90 °/s is a swing', [[90, 400]], 1],
    ['a slower one is not', [[89.9, 400]], 0],
    [
      'a carried blade is none',
      [
        [60, 400],
        [60, 400],
      ],
      0,
    ],
    [
      'two swings with a reversal are two',
      [
        [500, 300],
        [500, 300],
      ],
      2,
    ],
    [
      'a gentle swing after a hard one counts',
      [
        [900, 300],
        [120, 300],
      ],
      2,
    ],
  ])('%s', (_name, parts, count) => {
    expect(proposeSwings(motionOf(...parts))).toHaveLength(count);
  });

  test('waves on top of a steady spin are no swings', () => {
    const spin = Array.from({ length: 500 }, (_, i) =>
      i === 0 || i === 499 ? 0 : 500 + 60 * Math.sin(i / 8),
    );
    expect(proposeSwings(fakeMotion(spin, { rateHz: RATE_HZ }))).toHaveLength(1);
  });

  test('no swing goes across a gap', () => {
    const speed = [...speedOf([500, 400], [500, 400]), 0];
    const segments = [
      { start: 0, end: 20 },
      { start: 20, end: 81 },
    ];
    const swings = proposeSwings(fakeMotion(speed, { rateHz: RATE_HZ, segments }));
    // Of the first swing each side of the gap keeps a slope, and a slope is no peak.
    expect(swings).toHaveLength(1);
    expect(swings[0]!.startUs).toBeGreaterThan(600_000);
  });

  test('a swing with a saturated sample near its peak says so; one on its slope does not count', () => {
    for (const [index, expected] of [
      [20, true],
      [5, false],
    ] as const) {
      const motion = motionOf([500, 400]);
      motion.saturated[index] = 1;
      expect(proposeSwings(motion)[0]?.saturated).toBe(expected);
    }
  });
});

describe('settleSwings', () => {
  const motion = motionOf([500, 400], [0, 400], [500, 400]);
  const proposed = proposeSwings(motion);
  const label = (startMs: number, endMs: number, by: 'person' | 'program') => ({
    startUs: startMs * 1000,
    peakUs: ((startMs + endMs) / 2) * 1000,
    endUs: endMs * 1000,
    by,
  });

  test("without labels, the program's proposals", () => {
    expect(settleSwings(motion, proposed, [])).toEqual(proposed);
  });

  test('a label takes the place of the proposal that it overlaps, and is measured on the motion', () => {
    const swings = settleSwings(motion, proposed, [label(100, 300, 'person')]);
    expect(ms(swings)[0]).toEqual([100, 200, 300]);
    expect(swings[0]).toMatchObject({ by: 'person', peakDps: motion.trueSpeedDps[20] });
    expect(swings[1]).toEqual(proposed[1]);
  });

  test("a person's label drops the program's that it overlaps", () => {
    const swings = settleSwings(motion, proposed, [label(50, 350, 'program'), label(100, 300, 'person')]);
    expect(swings.map((s) => s.by)).toEqual(['person', 'program']);
    expect(swings[1]).toEqual(proposed[1]);
  });
});

describe('spans', () => {
  test.each<[string, (readonly [number, number])[], number]>([
    [
      'three swings in close succession are a spin',
      [
        [500, 300],
        [500, 300],
        [500, 300],
      ],
      1,
    ],
    [
      'two are not',
      [
        [500, 300],
        [500, 300],
      ],
      0,
    ],
    [
      'three with long pauses are not',
      [
        [500, 300],
        [0, 500],
        [500, 300],
        [0, 500],
        [500, 300],
      ],
      0,
    ],
    [
      'a short stop inside a spin does not break it',
      [
        [500, 300],
        [500, 300],
        [0, 300],
        [500, 300],
      ],
      1,
    ],
    [
      'two spins with a pause between them are two',
      [
        [500, 300],
        [500, 300],
        [500, 300],
        [0, 900],
        [500, 300],
        [500, 300],
        [500, 300],
      ],
      2,
    ],
    ['one swing that goes round twice is a spin', [[600, 2000]], 1],
    ['one that does not is none', [[500, 2000]], 0],
  ])('%s', (_name, parts, count) => {
    const motion = motionOf(...parts);
    expect(proposeSpinning(motion, proposeSwings(motion))).toHaveLength(count);
  });

  test('a spin goes from the start of its first swing to the end of its last', () => {
    const motion = motionOf([500, 300], [500, 300], [500, 300]);
    const swings = proposeSwings(motion);
    expect(proposeSpinning(motion, swings)).toEqual([
      { startUs: swings[0]!.startUs, endUs: swings[2]!.endUs },
    ]);
  });

  test('a gap ends a spin', () => {
    const speed = [...speedOf([500, 300], [500, 300], [500, 300], [500, 300]), 0];
    const segments = [
      { start: 0, end: 60 },
      { start: 60, end: 121 },
    ];
    const motion = fakeMotion(speed, { rateHz: RATE_HZ, segments, gapUs: 50_000 });
    expect(proposeSwings(motion).length).toBeGreaterThanOrEqual(3);
    expect(proposeSpinning(motion, proposeSwings(motion))).toEqual([]);
  });

  test.each<[string, string, number[][]]>([
    ['half a second and more is still', `..${'s'.repeat(50)}..`, [[20, 510]]],
    ['less is not', `..${'s'.repeat(49)}..`, []],
    ['up to the last sample', `..${'s'.repeat(60)}`, [[20, 610]]],
  ])('still: %s', (_name, mask, expected) => {
    const motion = fakeMotion(new Array(mask.length).fill(0), { rateHz: RATE_HZ });
    Array.from(mask).forEach((c, i) => {
      motion.stillMask[i] = c === 's' ? 1 : 0;
    });
    expect(proposeStill(motion).map((s) => [s.startUs / 1000, s.endUs / 1000])).toEqual(expected);
  });

  test("spinning as a person or a simulation gave it beats every proposal; the program's labels do not", () => {
    const proposed = [{ startUs: 0, endUs: 10 }];
    const span = (startUs: number, by: 'person' | 'program' | 'simulation', kind = 'spinning') => ({
      startUs,
      endUs: startUs + 5,
      kind,
      by,
    });
    const pick = (...spans: ReturnType<typeof span>[]) =>
      spinningSpans({ ...EMPTY_LABELS, spans }, proposed).map((s) => s.startUs);
    expect(pick()).toEqual([0]);
    expect(pick(span(50, 'program'))).toEqual([0]);
    expect(pick(span(50, 'person', 'still'))).toEqual([0]);
    expect(pick(span(50, 'person'), span(20, 'simulation'), span(30, 'program'))).toEqual([20, 50]);
  });
});

describe('findTruth', () => {
  test('joins swings, spins and reversals', () => {
    const truth = findTruth(motionOf([500, 300], [500, 300], [500, 300]), EMPTY_LABELS);
    expect([truth.swings.length, truth.spinning.length, truth.reversals.length]).toEqual([3, 1, 2]);
  });
});

describe('intentOf', () => {
  const label = (by: 'person' | 'program' | 'simulation', intent: 'wanted' | 'stray') => ({
    downUs: 5,
    button: 'power',
    intent,
    by,
  });
  test.each([
    ['person before simulation', ['simulation', 'person'] as const, 'person'],
    ['simulation before program', ['program', 'simulation'] as const, 'simulation'],
    ['person before program', ['person', 'program'] as const, 'person'],
  ])('%s', (_name, makers, winner) => {
    const labels = { ...EMPTY_LABELS, presses: makers.map((by) => label(by, 'stray')) };
    expect(intentOf(labels, { button: 'power', downUs: 5, upUs: null })?.by).toBe(winner);
  });

  test('a press without a label has none', () => {
    const labels = { ...EMPTY_LABELS, presses: [label('person', 'stray')] };
    expect(intentOf(labels, { button: 'power', downUs: 6, upUs: null })).toBe(null);
    expect(intentOf(labels, { button: 'aux', downUs: 5, upUs: null })).toBe(null);
  });
});

describe('mixedSpins', () => {
  const swing = (startUs: number, peakDps: number) =>
    ({
      startUs,
      endUs: startUs + 100,
      peakUs: startUs + 50,
      peakDps,
      saturated: false,
      by: 'program',
    }) as Swing;

  test.each([
    ['fast and slow swings together', [300, 800, 200], 1],
    ['swings of about one speed', [300, 500, 250], 0],
    ['one swing alone', [800], 0],
  ])('%s', (_name, peaks, mixed) => {
    const swings = peaks.map((peakDps, i) => swing(200 * i, peakDps));
    const others = [swing(5000, 50), swing(6000, 900)];
    expect(mixedSpins([{ startUs: 0, endUs: 1000 }], [...swings, ...others])).toHaveLength(mixed);
  });
});
