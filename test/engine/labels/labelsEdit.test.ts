import { describe, expect, test } from 'vitest';
import type { Proposals } from '../../../server/engine/labels/labels.ts';
import { EMPTY_LABELS, type LabelBy, type Labels, NO_SWING } from '../../../server/engine/labels/labels.ts';
import {
  addSpan,
  addSwing,
  confirmAll,
  confirmItem,
  type LabelItem,
  listItems,
  moveItem,
  rejectItem,
} from '../../../server/engine/labels/labelsEdit.ts';
import { proposeLabels } from '../../../server/engine/truth/labelsProposed.ts';
import { findTruth } from '../../../server/engine/truth/truth.ts';
import { fakeMotion } from '../fakeSignals.ts';

const NONE: Proposals = { strays: [], spinning: [], still: [], swings: [], gestures: [] };
const span = (startUs: number, endUs: number, kind = 'spinning', by: LabelBy = 'person') => ({
  startUs,
  endUs,
  kind,
  by,
});
const swing = (startUs: number, endUs: number, by: LabelBy = 'program') => ({
  startUs,
  endUs,
  peakUs: startUs + 1,
  by,
});
const proposedSwing = (startUs: number, endUs: number): LabelItem => ({
  what: 'swing',
  label: swing(startUs, endUs),
  isProposed: true,
});

describe('editing', () => {
  test.each<[string, Labels['spans'], [string, number, number], string[]]>([
    ['a span stands in its place in time', [span(50, 60)], ['spinning', 0, 10], ['0-10', '50-60']],
    [
      'spans of one kind that touch become one',
      [span(10, 20), span(30, 40)],
      ['spinning', 20, 30],
      ['10-40'],
    ],
    ['it swallows what lies in it', [span(10, 20)], ['spinning', 0, 90], ['0-90']],
    ['another kind is left alone', [span(10, 20, 'still')], ['spinning', 5, 15], ['5-15', '10-20']],
  ])('addSpan: %s', (_name, spans, [kind, startUs, endUs], expected) => {
    const { spans: after } = addSpan({ ...EMPTY_LABELS, spans }, kind, { startUs, endUs });
    expect(after.map((one) => `${one.startUs}-${one.endUs}`)).toEqual(expected);
  });

  test('a span of a gesture’s kind is a gesture, and stays apart from its neighbour', () => {
    const once = addSpan(EMPTY_LABELS, 'hit', { startUs: 10, endUs: 20 });
    const twice = addSpan(once, 'hit', { startUs: 15, endUs: 30 });
    expect(twice.spans).toEqual([]);
    expect(twice.gestures).toEqual([
      { startUs: 10, endUs: 20, kind: 'hit', by: 'person' },
      { startUs: 15, endUs: 30, kind: 'hit', by: 'person' },
    ]);
  });

  test('a swing that a person adds replaces those it overlaps', () => {
    const labels = { ...EMPTY_LABELS, swings: [swing(0, 10, 'simulation'), swing(20, 30, 'simulation')] };
    expect(
      addSwing(labels, { startUs: 5, endUs: 12, peakUs: 7 }).swings.map(({ startUs, by }) => [startUs, by]),
    ).toEqual([
      [5, 'person'],
      [20, 'simulation'],
    ]);
  });

  test('a confirmed proposal becomes a person’s label, a confirmed simulation’s changes hands', () => {
    expect(confirmItem(EMPTY_LABELS, proposedSwing(0, 10)).swings).toEqual([
      { ...swing(0, 10), by: 'person' },
    ]);
    const label = span(0, 10, 'still', 'simulation');
    const labels = { ...EMPTY_LABELS, spans: [label] };
    expect(confirmItem(labels, { what: 'span', label, isProposed: false }).spans).toEqual([
      span(0, 10, 'still'),
    ]);
  });

  test('a rejected swing is said to be none; a rejected label goes; so are spins, rests and gestures that are proposed', () => {
    expect(rejectItem(EMPTY_LABELS, proposedSwing(0, 10)).spans).toEqual([span(0, 10, NO_SWING)]);
    const label = swing(0, 10, 'person');
    const labels = { ...EMPTY_LABELS, swings: [label] };
    expect(rejectItem(labels, { what: 'swing', label, isProposed: false })).toEqual(EMPTY_LABELS);
    const spin: LabelItem = { what: 'span', label: span(0, 10, 'spinning', 'program'), isProposed: true };
    expect(rejectItem(labels, spin).spans).toEqual([span(0, 10, 'no spin')]);
    const hit: LabelItem = {
      what: 'gesture',
      label: { startUs: 3, endUs: 4, kind: 'hit', by: 'program' },
      isProposed: true,
    };
    expect(rejectItem(labels, hit).spans).toEqual([span(3, 4, 'no hit')]);
  });

  test('a moved item is a person’s; a swing’s peak stays inside it', () => {
    const label = { ...swing(0, 100, 'simulation'), peakUs: 90 };
    const labels = { ...EMPTY_LABELS, swings: [label] };
    const item: LabelItem = { what: 'swing', label, isProposed: false };
    expect(moveItem(labels, item, { startUs: 10, endUs: 50 }).swings).toEqual([
      { startUs: 10, endUs: 50, peakUs: 50, by: 'person' },
    ]);
    expect(moveItem(labels, item, { startUs: 10, endUs: 50, peakUs: 30 }).swings[0]!.peakUs).toBe(30);
  });

  test('nothing of this changes the labels given', () => {
    const labels: Labels = structuredClone({ ...EMPTY_LABELS, spans: [span(0, 10)], swings: [swing(0, 9)] });
    const before = structuredClone(labels);
    addSpan(labels, 'spinning', { startUs: 5, endUs: 15 });
    confirmItem(labels, { what: 'span', label: labels.spans[0]!, isProposed: false });
    rejectItem(labels, { what: 'swing', label: labels.swings[0]!, isProposed: false });
    confirmAll(labels, { ...NONE, spinning: [span(20, 30)] }, 'spinning');
    expect(labels).toEqual(before);
  });

  test('items come in time order, labels and proposals together', () => {
    const labels = {
      ...EMPTY_LABELS,
      spans: [span(30, 40)],
      gestures: [{ startUs: 5, endUs: 6, kind: 'hit' as const, by: 'person' as const }],
    };
    const items = listItems(labels, {
      ...NONE,
      swings: [swing(20, 25)],
      still: [span(0, 3, 'still', 'program')],
    });
    expect(items.map(({ what, isProposed }) => `${what}${isProposed ? '?' : ''}`)).toEqual([
      'span?',
      'gesture',
      'swing?',
      'span',
    ]);
  });
});

describe('proposals', () => {
  const RATE_HZ = 100;
  // Four swings of 0.5 s to and fro from 1 s on, then rest; still before and after.
  const speed = Float64Array.from({ length: 600 }, (_, i) =>
    i >= 100 && i < 300 ? 500 * Math.sin((Math.PI * (i - 100)) / 50) : 0,
  );
  const motion = { ...fakeMotion(speed, { rateHz: RATE_HZ }) };
  motion.stillMask.fill(1, 0, 90);
  motion.stillMask.fill(1, 350, 600);
  const press = (downMs: number) => ({ button: 'power', downUs: downMs * 1000, upUs: null });
  const presses = [press(500), press(1500), press(2000), press(4000)];
  const gestures = [
    { startUs: 100_000, endUs: 200_000, kind: 'hit' as const, by: 'program' as const },
    { startUs: 150_000, endUs: 400_000, kind: 'twist' as const, by: 'program' as const },
  ];
  const propose = (labels: Labels) =>
    proposeLabels({ motion, truth: findTruth(motion, labels), labels, presses, gestures });

  test('without labels: the swings, the spin, both rests, and the presses inside the spin', () => {
    const { swings, spinning, still, strays } = propose(EMPTY_LABELS);
    expect([swings.length, spinning.length, still.length]).toEqual([4, 1, 2]);
    expect(strays.map(({ downUs }) => downUs)).toEqual([1_500_000, 2_000_000]);
    for (const one of [...swings, ...spinning, ...still, ...strays]) expect(one.by).toBe('program');
  });

  test('once all are confirmed nothing is left to propose, and the truth is the same as before', () => {
    const found = propose(EMPTY_LABELS);
    const all = (['strays', 'swings', 'spinning', 'still', 'thrust', 'hit', 'twist'] as const).reduce<Labels>(
      (labels, kind) => confirmAll(labels, found, kind),
      EMPTY_LABELS,
    );
    expect(propose(all)).toEqual(NONE);
    const [before, after] = [findTruth(motion, EMPTY_LABELS), findTruth(motion, all)];
    expect(after.swings.map(({ by, ...swing }) => swing)).toEqual(
      before.swings.map(({ by, ...swing }) => swing),
    );
    expect(after.spinning).toMatchObject(before.spinning.map(({ startUs, endUs }) => ({ startUs, endUs })));
    expect(after.reversals).toEqual(before.reversals);
  });

  test('a swing said to be none is neither counted nor proposed again', () => {
    const [first] = propose(EMPTY_LABELS).swings;
    const labels = rejectItem(EMPTY_LABELS, { what: 'swing', label: first!, isProposed: true });
    expect(findTruth(motion, labels).swings).toHaveLength(3);
    expect(propose(labels).swings).toHaveLength(3);
  });

  test('a spin, a rest or a hit said to be none is neither counted nor proposed again', () => {
    const found = propose(EMPTY_LABELS);
    const reject = (labels: Labels, item: LabelItem) => rejectItem(labels, item);
    const noSpin = reject(EMPTY_LABELS, { what: 'span', label: found.spinning[0]!, isProposed: true });
    expect(propose(noSpin).spinning).toEqual([]);
    expect(findTruth(motion, noSpin)).toMatchObject({ spinning: [], reversals: [] });
    const noRest = reject(noSpin, { what: 'span', label: found.still[0]!, isProposed: true });
    expect(propose(noRest).still).toEqual([found.still[1]]);
    const noHit = reject(noRest, { what: 'gesture', label: gestures[0]!, isProposed: true });
    expect(propose(noHit).gestures).toEqual([gestures[1]]);
  });

  test('gestures are proposed but where a label of their own kind lies over them', () => {
    const label = { startUs: 190_000, endUs: 260_000, kind: 'hit' as const, by: 'person' as const };
    expect(propose(EMPTY_LABELS).gestures).toEqual(gestures);
    expect(propose({ ...EMPTY_LABELS, gestures: [label] }).gestures).toEqual([gestures[1]]);
    const confirmed = confirmAll(EMPTY_LABELS, propose(EMPTY_LABELS), 'twist');
    expect(confirmed.gestures).toEqual([{ ...gestures[1], by: 'person' }]);
    expect(propose(confirmed).gestures).toEqual([gestures[0]]);
  });

  test('a press with a label of any kind is not proposed', () => {
    const label = { downUs: 1_500_000, button: 'power', intent: 'unsure' as const, by: 'person' as const };
    expect(propose({ ...EMPTY_LABELS, presses: [label] }).strays.map(({ downUs }) => downUs)).toEqual([
      2_000_000,
    ]);
  });
});
