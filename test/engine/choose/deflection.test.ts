import { describe, expect, test } from 'vitest';
import {
  DEFLECTION,
  type SwingEvidence,
  swingEvidenceOf,
} from '../../../server/engine/choose/deflectionProblem.ts';
import { leaveOut } from '../../../server/engine/choose/leaveOut.ts';
import type { ChoiceTake } from '../../../server/engine/choose/takeSweep.ts';
import type { DeflectionSettings } from '../../../server/engine/detect/deflection.ts';
import { DeflectionDetector } from '../../../server/engine/detect/deflection.ts';
import { EMPTY_LABELS } from '../../../server/engine/labels/labels.ts';
import { scoreDeflection } from '../../../server/engine/score/deflectionScore.ts';
import { findPlateau } from '../../../server/engine/sweep/plateau.ts';
import { declined } from './declined.ts';
import { DEFLECTION_AXES, DEFLECTION_BASE, deflectionGrid } from './drawnProblems.ts';
import { drawnTake } from './drawnTake.ts';
import { randomWorkspace } from './workspaces.ts';

const NAMES = ['missed', 'twice', 'outside'] as const;

/** The real detector, sample by sample, and the score of what it fires. */
function naiveWrong({ signals, truth }: ChoiceTake, settings: DeflectionSettings) {
  const fires: number[] = [];
  for (const { start, end } of signals.segments) {
    const detector = new DeflectionDetector(settings, signals.rateHz);
    for (let i = start; i < end; ++i) if (detector.step(signals.swingSpeedDps[i]!)) fires.push(i);
  }
  const score = scoreDeflection({
    signals,
    fires: Int32Array.from(fires),
    swings: truth.swings,
    settings,
  })!;
  return { missed: score.missed.k, twice: score.twice.k, outside: score.outside, swings: score.swings };
}

/** Sums the naive loop over takes, cell by cell, and takes the middle of the best plateau of real swing speeds. */
function naiveChoice(takes: readonly ChoiceTake[]): { x: number; y: number } {
  const { xs, ys } = DEFLECTION_AXES;
  const swings = takes.reduce((sum, { truth }) => sum + truth.swings.length, 0);
  const wrong = xs.flatMap((speedDps) =>
    ys.map((rearmRatio) => {
      if (speedDps < 90) return Number.NaN;
      const found = takes.map((take) => naiveWrong(take, { ...DEFLECTION_BASE, speedDps, rearmRatio }));
      return found.reduce((sum, { missed, twice, outside }) => sum + missed + twice + outside, 0);
    }),
  );
  const least = Math.min(...wrong.filter((count) => !Number.isNaN(count)));
  const cost = wrong.map((count) => Math.floor((count - least) / Math.max(1, swings / 50) + 1e-9));
  const { x, y } = findPlateau(xs, ys, cost)!;
  return { x, y };
}

describe('held-out check on simulated workspaces', () => {
  test.each([1, 2, 3])(
    'seeded workspace %d: by a naive loop that steps the detector over the take left out',
    (seed) => {
      const takes = randomWorkspace(seed, 3);
      const held = leaveOut(
        DEFLECTION,
        takes.map((take) => ({ key: take.id, name: take.title, grid: deflectionGrid(take) })),
      )!;
      takes.forEach((take, i) => {
        const chosen = naiveChoice(takes.filter((other) => other !== take));
        const own = naiveWrong(take, { ...DEFLECTION_BASE, speedDps: chosen.x, rearmRatio: chosen.y });
        expect(held.folds[i]).toEqual({
          name: take.title,
          setting: chosen,
          lack: null,
          wrong: Object.fromEntries(NAMES.map((name) => [name, { k: own[name], n: own.swings }])),
        });
      });
    },
  );
});

test('no setting below the speed of a swing is chosen, however well it does', () => {
  const grid = deflectionGrid(drawnTake(1));
  const { missed } = grid.wrong;
  const cost = DEFLECTION.cost(
    {
      ...grid,
      sizes: { swings: 100 },
      wrong: {
        missed: missed.map((_, i) => (i < 3 ? 0 : 10)),
        twice: missed.map(() => 0),
        outside: missed.map(() => 0),
      },
    },
    0,
  );
  expect([...cost.subarray(0, 3)]).toEqual([Number.NaN, Number.NaN, Number.NaN]);
  expect(Math.min(...cost.subarray(3))).toBe(0);
});

describe('evidence and declines', () => {
  const fit: SwingEvidence = {
    id: 'a',
    title: 'A',
    performer: 'one',
    swings: 40,
    unwanted: 0,
    by: { person: 0, program: 40, simulation: 0 },
    outsideS: 12,
    contradictionsUs: [],
    unfit: null,
  };
  const record = 'Record single swings with a full stop between, slow ones and fast ones.';
  test.each<[string, readonly SwingEvidence[], string, RegExp, string[]]>([
    ['no take', [], 'unfit', /No take is chosen/, []],
    [
      'all takes unfit',
      [{ ...fit, unfit: { kind: 'noMotion' } }],
      'unfit',
      /Nothing can be chosen on this take/,
      ['A: it holds no motion.'],
    ],
    ['no swing', [{ ...fit, swings: 0 }], 'noSwings', /no swing in this take/, [record]],
    [
      'no swing with the button held',
      [{ ...fit, swings: 0, unwanted: 12 }],
      'noSwings',
      /^The deflection button was up in all 12 swings: no deflection was wanted\.$/,
      ['Record swings with the button held, as you do on stage, or have deflections always on.'],
    ],
    [
      'too few with the button held',
      [{ ...fit, swings: 4, unwanted: 1 }],
      'tooFew',
      /it takes 5\. 1 more swing with the deflection button up counts for nothing\.$/,
      ['Record 1 more swing or more.', record],
    ],
    [
      'nobody knows when the button was held',
      [{ ...fit, unfit: { kind: 'noButton' } }],
      'unfit',
      /Nothing can be chosen on this take/,
      ['A: its log does not tell when the deflection button was held.'],
    ],
    [
      'too few swings',
      [{ ...fit, swings: 4 }],
      'tooFew',
      /4 swings are too few/,
      ['Record 1 more swing or more.', record],
    ],
    [
      'swings in an unfit take do not count',
      [fit, { ...fit, unfit: { kind: 'noMotion' as const } }].map((take) => ({
        ...take,
        swings: take.unfit === null ? 1 : 40,
      })),
      'tooFew',
      /1 swing is too few/,
      ['Record 4 more swings or more.', record],
    ],
    [
      'contradictory labels',
      [{ ...fit, contradictionsUs: [3_000_000] }],
      'contradictory',
      /1 labelled swing lies where/,
      ['A: decide on the swing at 3.0 s.'],
    ],
  ])('%s', (_name, evidence, kind, text, advice) => {
    const words = declined(DEFLECTION, deflectionGrid(drawnTake(1)), evidence)!;
    expect(words.kind).toBe(kind);
    expect(words.text).toMatch(text);
    expect(words.advice).toEqual(advice);
  });

  test('where the best of all settings is still wrong for more than 1 swing in 4, it declines', () => {
    const { signals, truth } = drawnTake(4);
    const grid = deflectionGrid({ signals, truth: { ...truth, swings: [] } });
    const even = (missed: number) => {
      const all = (count: number) => grid.wrong.missed.map(() => count);
      return {
        ...grid,
        sizes: { swings: 100 },
        wrong: { missed: all(missed), twice: all(0), outside: all(0) },
      };
    };
    expect(declined(DEFLECTION, even(25), [fit])).toBe(null);
    expect(declined(DEFLECTION, even(26), [fit])).toMatchObject({ kind: 'noneGood' });
    // Who looks at one performer's takes already is not told to.
    const adviceOn = (...others: SwingEvidence[]) =>
      declined(DEFLECTION, even(26), [fit, ...others])!.advice.join(' ');
    expect(adviceOn({ ...fit, id: 'b', title: 'B' })).not.toContain('one performer');
    expect(adviceOn({ ...fit, performer: 'two' })).toContain('one performer’s takes at a time');
    expect(adviceOn({ ...fit, performer: 'two', unfit: { kind: 'noMotion' } })).not.toContain(
      'one performer',
    );
  });

  test('a swing that a person says lies in stillness, or is none, contradicts the labels; another’s word does not', () => {
    const take = drawnTake(1);
    const by = 'person' as const;
    const swing = { startUs: 1_000_000, endUs: 2_000_000, peakUs: 1_500_000, by };
    const swings = [swing, { ...swing, startUs: 3_000_000, endUs: 4_000_000, peakUs: 3_500_000 }];
    const span = { startUs: 900_000, endUs: 2_100_000 };
    const labels = (kind: string, whose: 'person' | 'simulation') => ({
      ...take,
      labels: { ...EMPTY_LABELS, swings, spans: [{ ...span, kind, by: whose }] },
    });
    expect(swingEvidenceOf(labels('still', by), DEFLECTION_BASE).contradictionsUs).toEqual([1_500_000]);
    expect(swingEvidenceOf(labels('no swing', by), DEFLECTION_BASE).contradictionsUs).toEqual([1_500_000]);
    expect(swingEvidenceOf(labels('spinning', by), DEFLECTION_BASE).contradictionsUs).toEqual([]);
    expect(swingEvidenceOf(labels('still', 'simulation'), DEFLECTION_BASE).contradictionsUs).toEqual([]);
  });

  test('time outside swings is that of the samples in none of them', () => {
    const take = drawnTake(7);
    const inside = (us: number) =>
      take.truth.swings.some(({ startUs, endUs }) => startUs <= us && us < endUs);
    const naive = [...take.signals.timeUs].filter((us) => !inside(us)).length / take.signals.rateHz;
    expect(naive).toBeGreaterThan(1);
    expect(swingEvidenceOf(take, DEFLECTION_BASE).outsideS).toBe(naive);
  });
});
