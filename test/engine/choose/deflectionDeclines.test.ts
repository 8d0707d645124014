import { describe, expect, test } from 'vitest';
import { chooseDeflection } from '../../../server/engine/choose/chooseDeflection.ts';
import { suggestDeflection, sumDeflection } from '../../../server/engine/choose/deflectionChoice.ts';
import {
  deflectionBorderText,
  deflectionMarginTexts,
  swingBasisText,
  wrongDeflectionText,
} from '../../../server/engine/choose/deflectionWords.ts';
import { LEAST_SWINGS } from '../../../server/engine/choose/swingDecline.ts';
import { type SwingEvidence, swingEvidenceOf } from '../../../server/engine/choose/swingEvidence.ts';
import { EMPTY_LABELS } from '../../../server/engine/labels/labels.ts';
import { sweepDeflection } from '../../../server/engine/sweep/deflectionSweep.ts';
import { axes, base, sweepOf } from './deflectionSweeps.ts';
import { drawnTake } from './drawnTake.ts';

describe('evidence and declines', () => {
  const fit: SwingEvidence = {
    id: 'a',
    title: 'A',
    performer: 'one',
    swings: 40,
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
      [{ ...fit, unfit: 'it holds no motion' }],
      'unfit',
      /Nothing can be chosen on this take/,
      ['A: it holds no motion.'],
    ],
    ['no swing', [{ ...fit, swings: 0 }], 'noSwings', /no swing in this take/, [record]],
    [
      'too few swings',
      [{ ...fit, swings: LEAST_SWINGS - 1 }],
      'tooFew',
      /4 swings are too few/,
      ['Record 1 more swing or more.', record],
    ],
    [
      'swings in an unfit take do not count',
      [fit, { ...fit, unfit: 'x' }].map((take) => ({ ...take, swings: take.unfit === null ? 1 : 40 })),
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
    const choice = chooseDeflection(sweepOf(drawnTake(1)), evidence);
    if (choice.kind !== 'declined') throw new Error('nothing was declined');
    expect(choice.decline.kind).toBe(kind);
    expect(choice.decline.text).toMatch(text);
    expect(choice.decline.advice).toEqual(advice);
  });

  test('where the best of all settings is still wrong for more than 1 swing in 4, it declines', () => {
    const { signals } = drawnTake(4);
    const grid = sweepDeflection({ signals, swings: [], base, ...axes });
    const poor = { ...grid, swings: 100, missed: grid.missed.map(() => 26), once: grid.once.map(() => 74) };
    const fair = { ...poor, missed: poor.missed.map(() => 25), outside: poor.outside.map(() => 0) };
    const choice = chooseDeflection({ ...poor, outside: fair.outside }, [fit]);
    expect(choice).toMatchObject({ kind: 'declined', decline: { kind: 'noneGood' } });
    expect(chooseDeflection(fair, [fit]).kind).toBe('suggestion');
    // Who looks at one performer's takes already is not told to.
    const adviceOn = (evidence: readonly SwingEvidence[]) => {
      const declined = chooseDeflection({ ...poor, outside: fair.outside }, evidence);
      return declined.kind === 'declined' ? declined.decline.advice.join(' ') : '';
    };
    expect(adviceOn([fit, { ...fit, id: 'b', title: 'B' }])).not.toContain('one performer');
    expect(adviceOn([fit, { ...fit, id: 'b', performer: 'two' }])).toContain(
      'one performer’s takes at a time',
    );
    expect(adviceOn([fit, { ...fit, performer: 'two', unfit: 'no' }])).not.toContain('one performer');
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
    expect(swingEvidenceOf(labels('still', by)).contradictionsUs).toEqual([1_500_000]);
    expect(swingEvidenceOf(labels('no swing', by)).contradictionsUs).toEqual([1_500_000]);
    expect(swingEvidenceOf(labels('spinning', by)).contradictionsUs).toEqual([]);
    expect(swingEvidenceOf(labels('still', 'simulation')).contradictionsUs).toEqual([]);
  });

  test('time outside swings is that of the samples in none of them', () => {
    const take = drawnTake(7);
    const inside = (us: number) =>
      take.truth.swings.some(({ startUs, endUs }) => startUs <= us && us < endUs);
    const naive = [...take.signals.timeUs].filter((us) => !inside(us)).length / take.signals.rateHz;
    expect(naive).toBeGreaterThan(1);
    expect(swingEvidenceOf(take).outsideS).toBe(naive);
  });
});

describe('words', () => {
  const grid = sumDeflection([sweepOf(drawnTake(2)), sweepOf(drawnTake(3))]);
  const suggestion = suggestDeflection(grid)!;
  test('the margins name both settings', () => {
    const { xMargin, yMargin } = suggestion.plateau;
    const [speed, rearm] = deflectionMarginTexts(suggestion);
    expect(speed).toContain(
      `from ${xMargin.low} to ${xMargin.high} °/s at a re-arm of ${suggestion.rearmRatio}`,
    );
    expect(rearm).toContain(`re-arm of ${yMargin.low} to ${yMargin.high} at ${suggestion.speedDps} °/s`);
  });

  test('a plateau that lets one more in fifty go wrong says so', () => {
    const missed = grid.missed.map(() => 0);
    const swings = 60;
    const even = { ...grid, swings, missed, twice: missed, outside: missed };
    expect(deflectionMarginTexts(suggestDeflection(even)!).join()).not.toContain('more of');
    const column = grid.rearmRatios.length;
    const odd = missed.map((_, i) => (Math.floor(i / column) === grid.speedsDps.length - 1 ? 1 : 0));
    const uneven = suggestDeflection({ ...even, missed: odd })!;
    expect(uneven.plateau.xMargin.high).toBe(600);
    const [speed, rearm] = deflectionMarginTexts(uneven);
    expect(speed).toMatch(
      /, with at most 1 more of 60 going wrong\. 600 °\/s is the fastest tried, no margin: /,
    );
    expect(rearm).not.toContain('more of');
  });

  test('proposals that nobody confirmed are told apart from labels', () => {
    const evidence = {
      id: 'a',
      title: 'A',
      performer: '',
      swings: 10,
      by: { person: 1, program: 9, simulation: 0 },
      outsideS: 30.4,
      contradictionsUs: [],
      unfit: null,
    };
    expect(swingBasisText([evidence, { ...evidence, title: 'B', unfit: 'it holds no motion' }])).toBe(
      'Rests on 1 swing labelled by a person, 9 proposed by the program and not confirmed, and 30 s outside any swing. Left out as unfit: B (it holds no motion).',
    );
  });

  test.each([
    ['missed', 'the swing at 1.5 s of A is missed.'],
    ['twice', 'the swing at 1.5 s of A fires twice or more.'],
    ['outside', 'a fire at 1.5 s of A lies outside any swing.'],
  ] as const)('what is wrong even so: %s', (kind, text) => {
    expect(wrongDeflectionText({ kind, atUs: 1_500_000, title: 'A', reason: null })).toBe(text);
  });

  test.each([
    ['lowerSpeed', 90, /Below 90 °\/s is no swing/],
    ['higherSpeed', 800, /Above 800 °\/s nothing was tried/],
    ['lowerRearm', 0.1, /Below a re-arm of 0.1 nothing was tried/],
    ['higherRearm', 1, /Even a re-arm of 1 does as well/],
  ] as const)('an end of the grid, %s', (side, last, text) => {
    const border = { side, last, beyond: null, missed: 0, twice: 0, outside: 0 };
    expect(deflectionBorderText(border, [])).toMatch(text);
  });
});
