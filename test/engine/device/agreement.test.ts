import { describe, expect, test } from 'vitest';
import type { LoggedDecisions } from '../../../server/engine/base/decisions.ts';
import type { Press } from '../../../server/engine/base/log.ts';
import { compareDecisions, isAlike } from '../../../server/engine/device/agreement.ts';
import { type Decisions, FIRE_NAMES, type FireName } from '../../../server/engine/device/decisions.ts';
import { loggedOnGrid } from '../../../server/engine/device/logged.ts';
import { matchSamples } from '../../../server/engine/device/match.ts';
import { agreementText, countedTexts, differenceText } from '../../../server/engine/words/device.ts';

/** 200 samples at 100 Hz with a gap of a second behind the first 100: a sample is 10 ms, the tolerance one of them. */
const GRID = {
  rateHz: 100,
  timeUs: Float64Array.from({ length: 200 }, (_, i) => i * 10_000 + (i >= 100 ? 1_000_000 : 0)),
  segments: [
    { start: 0, end: 100 },
    { start: 100, end: 200 },
  ],
};
const NONE: LoggedDecisions = { guardClosed: null, refusedUs: null, fires: null };
const press = (atUs: number, forUs = 50_000): Press => ({
  button: 'power',
  downUs: atUs,
  upUs: atUs + forUs,
});

function bench(of: {
  closed?: [number, number][];
  refused?: boolean[];
  fires?: Partial<Record<FireName, number[]>>;
}): Decisions {
  const closed = new Uint8Array(200);
  for (const [from, to] of of.closed ?? []) closed.fill(1, from, to);
  const fires = Object.fromEntries(FIRE_NAMES.map((name) => [name, of.fires?.[name] ?? []]));
  return { closed, refused: of.refused ?? [], fires: fires as never };
}

function held(own: Decisions, logged: Partial<LoggedDecisions>, presses: readonly Press[] = []) {
  const all = { ...NONE, ...logged };
  return compareDecisions(
    own,
    loggedOnGrid(all, GRID, presses),
    GRID,
    presses.map(({ downUs }) => downUs),
  );
}

const ms = (from: number, to: number) => ({ startUs: from * 1000, endUs: to * 1000 });
const counts = ({ alike, n }: { alike: number; n: number }) => `${alike} of ${n}`;

test('deflections that nobody knows are not compared, and that is said', () => {
  const fires = [{ kind: 'deflection' as const, atUs: 300_000, steps: 1 }];
  const known = held(bench({ fires: { deflection: [] } }), { fires });
  expect([counts(known), known.areDeflectionsUnknown]).toEqual(['0 of 1', false]);
  const own = bench({ fires: { impact: [50] } });
  const unknown = held(
    { ...own, fires: { ...own.fires!, deflection: null } },
    { fires: [...fires, { kind: 'impact', atUs: 500_000, steps: 1 }] },
  );
  expect([counts(unknown), unknown.areDeflectionsUnknown]).toEqual(['1 of 1', true]);
  expect(agreementText(unknown)).toMatch(
    /Deflections are not compared: its log does not tell when the deflection button was held\.$/,
  );
});

describe('the guard', () => {
  const own = bench({ closed: [[20, 40]] });
  test.each([
    ['at the same samples', [ms(200, 400)], '2 of 2'],
    ['a sample later', [ms(210, 410)], '2 of 2'],
    ['two samples later', [ms(220, 420)], '0 of 2'],
    ['never', [], '0 of 2'],
    ['once more', [ms(200, 400), ms(600, 700)], '2 of 4'],
    ['open for a moment in between', [ms(200, 300), ms(310, 400)], '2 of 4'],
  ])('closes %s', (_what, guardClosed, expected) => {
    expect(counts(held(own, { guardClosed }))).toBe(expected);
  });

  test('begins open behind a gap, whatever it was before', () => {
    const own = bench({ closed: [[90, 110]] });
    // It is logged as closed across the gap.
    const across = held(own, { guardClosed: [ms(900, 2100)] });
    // Closing before it, closing behind it, opening: what the gap itself holds is not known.
    expect(counts(across)).toBe('3 of 3');
  });

  test('that is closed to the end is closed in the last row too', () => {
    const own = bench({ closed: [[150, 200]] });
    expect(counts(held(own, { guardClosed: [{ startUs: 2_500_000, endUs: 2_990_001 }] }))).toBe('1 of 1');
    expect(counts(held(own, { guardClosed: [{ startUs: 2_500_000, endUs: 2_960_000 }] }))).toBe('1 of 2');
  });
});

describe('presses', () => {
  const presses = [press(100_000), press(500_000)];
  test.each([['as on the bench', [500_000], [true, false], '1 of 1']])(
    'a press without motion is none: %s',
    (_what, refusedUs, _refused, expected) => {
      const own = { ...bench({}), refused: [null, true] };
      expect(counts(held(own, { refusedUs }, presses))).toBe(expected);
    },
  );

  test('a bounce and its press are one', () => {
    const bounced = [press(100_000, 20_000), press(130_000, 20_000), press(500_000)];
    const own = { ...bench({}), refused: [true, 'bounce' as const, false] };
    expect(counts(held(own, { refusedUs: [160_000] }, bounced))).toBe('2 of 2');
    expect(counts(held(own, { refusedUs: [] }, bounced))).toBe('1 of 2');
  });

  test.each([
    ['refused in the row of the press', [500_000], 0],
    ['refused some rows later', [540_000], 0],
    ['refused as it is let go', [560_000], 0],
    ['let through', [], 1],
    ['both refused', [100_000, 500_000], 1],
    ['refused where no press is', [500_000, 1_300_000], 1],
  ])('%s', (_what, refusedUs, different) => {
    const own = bench({ refused: [false, true] });
    expect(held(own, { refusedUs }, presses).differences).toHaveLength(different);
  });
});

describe('fires', () => {
  test('each by its own kind, a step of the dial each', () => {
    const fires = [
      { kind: 'impact' as const, atUs: 300_000, steps: 1 },
      { kind: 'dial' as const, atUs: 500_000, steps: 2 },
      { kind: 'dial' as const, atUs: 700_000, steps: -1 },
    ];
    const own = bench({ fires: { stab: [30], dialUp: [48, 50], dialDown: [70] } });
    const found = held(own, { fires });
    expect(counts(found)).toBe('3 of 5');
    expect(found.differences.map(differenceText)).toEqual([
      'Impact on the prop alone',
      'Stab on the bench alone',
    ]);
  });

  test('that come late are told as late, also where every one of them is within the tolerance', () => {
    const at = [10, 30, 50, 70, 90];
    const own = bench({ fires: { deflection: at } });
    const late = (samples: number) =>
      held(own, { fires: at.map((i) => ({ kind: 'deflection', atUs: (i + samples) * 10_000, steps: 1 })) });
    expect([late(0), late(1), late(3)].map((found) => [counts(found), found.lateUs, isAlike(found)])).toEqual(
      [
        ['5 of 5', 0, true],
        ['5 of 5', 10_000, false],
        ['0 of 5', 30_000, false],
      ],
    );
    expect(differenceText(late(3).differences[0]!)).toBe('Deflection: the prop 30 ms later');
  });
});

describe('in words', () => {
  const told = { guard: true, presses: false, fires: false };
  test('alike, with its interval', () => {
    const found = held(bench({ closed: [[20, 40]] }), { guardClosed: [ms(200, 400)] });
    expect(agreementText(found)).toBe(
      'The prop behaves as the bench: 2 of 2 decisions alike (about 95 %: 34 to 100 %).',
    );
    expect(countedTexts(found, told).slice(1)).toEqual([
      'No press and no fire was compared: only the guard, as it closes and opens.',
      'The log does not tell of refused presses and fires.',
    ]);
  });

  test('where nothing happens nothing agrees', () => {
    const found = held(bench({}), { guardClosed: [], fires: [] });
    expect(agreementText(found)).toMatch(/^Nothing to compare/);
  });

  test('different', () => {
    const found = held(bench({ closed: [[20, 40]] }), { guardClosed: [] });
    expect(agreementText(found)).toBe(
      'The prop differs from the bench: 0 of 2 decisions alike (about 95 %: 0 to 66 %).',
    );
  });
});

test('as many samples are paired as can be', () => {
  expect(matchSamples([1, 5, 9], [2, 4, 6], 1)).toEqual({
    pairs: [
      { first: 1, second: 2 },
      { first: 5, second: 4 },
    ],
    firstOnly: [9],
    secondOnly: [6],
  });
});
