import { describe, expect, test } from 'vitest';
import { simulatedGestures } from '../../../server/engine/labels/gesturesSimulated.ts';
import {
  EMPTY_LABELS,
  type GestureLabel,
  type LabelBy,
  type Labels,
  NO_SWING,
  settleGestures,
  spinningSpans,
  withoutRejected,
} from '../../../server/engine/labels/labels.ts';
import { parseLabelsCsv } from '../../../server/engine/labels/labelsCsv.ts';
import { fitToPresses } from '../../../server/engine/labels/labelsFit.ts';
import {
  LabelsError,
  parseLabelsJson,
  readLabelsDocument,
} from '../../../server/engine/labels/labelsRead.ts';
import { formatLabelsCsv, formatLabelsJson } from '../../../server/engine/labels/labelsWrite.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { fc } from '../properties.ts';

const gesture = (startUs: number, by: LabelBy, kind: GestureLabel['kind'] = 'hit'): GestureLabel => ({
  startUs,
  endUs: startUs + 10,
  kind,
  by,
});

describe('settleGestures', () => {
  const settled = (...gestures: GestureLabel[]) =>
    settleGestures({ ...EMPTY_LABELS, gestures }, 'hit').map(({ startUs, by }) => `${startUs} ${by}`);
  test.each<[string, GestureLabel[], string[]]>([
    ['labels from before there were any have none', [], []],
    [
      'time order, whatever the order given',
      [gesture(50, 'person'), gesture(0, 'person')],
      ['0 person', '50 person'],
    ],
    [
      'a person’s drops the simulation’s that it overlaps',
      [gesture(0, 'simulation'), gesture(9, 'person')],
      ['9 person'],
    ],
    [
      'end to end is no overlap',
      [gesture(0, 'simulation'), gesture(10, 'person')],
      ['0 simulation', '10 person'],
    ],
    [
      'the simulation’s drops the program’s',
      [gesture(3, 'program'), gesture(0, 'simulation')],
      ['0 simulation'],
    ],
    ['another kind is left out', [gesture(0, 'person', 'twist')], []],
    ['two of one person may overlap', [gesture(0, 'person'), gesture(5, 'person')], ['0 person', '5 person']],
  ])('%s', (_name, gestures, expected) => expect(settled(...gestures)).toEqual(expected));

  test('a document without the list is one without gestures', () => {
    expect(settleGestures(EMPTY_LABELS, 'hit')).toEqual([]);
  });
});

test('a proposed swing that a person says is none is dropped; one beside it stays', () => {
  const spans = [{ startUs: 5, endUs: 20, kind: NO_SWING, by: 'person' as const }];
  const proposed = [
    { startUs: 0, endUs: 6 },
    { startUs: 20, endUs: 30 },
  ];
  expect(withoutRejected(proposed, { spans }, 'swing')).toEqual([proposed[1]]);
  // No swing is one thing, no spin another.
  expect(withoutRejected(proposed, { spans }, 'spinning')).toEqual(proposed);
  expect(spinningSpans({ spans: [{ ...spans[0]!, kind: 'no spin' }] }, proposed)).toEqual([proposed[1]]);
});

test('a simulated thrust into the air is no thrust; a hit is 20 ms long; all stand in time order', () => {
  const found = simulatedGestures({
    thrusts: [
      { startUs: 500_000, endUs: 600_000, meetsPad: true },
      { startUs: 100_000, endUs: 200_000, meetsPad: false },
    ],
    hits: [{ timeUs: 610_000 }],
    twists: [{ startUs: 0, endUs: 90_000 }],
  });
  expect(found.map(({ kind, startUs, endUs, by }) => [kind, startUs, endUs, by])).toEqual([
    ['twist', 0, 90_000, 'simulation'],
    ['thrust', 500_000, 600_000, 'simulation'],
    ['hit', 610_000, 630_000, 'simulation'],
  ]);
});

const us = fc.nat(2 ** 40);
const by = fc.constantFrom<LabelBy>('person', 'program', 'simulation');
const words = fc.string({ minLength: 1, maxLength: 30, unit: 'binary' });
const ends = fc
  .tuple(us, fc.integer({ min: 1, max: 1e9 }))
  .map(([startUs, long]) => ({ startUs, endUs: startUs + long }));
const anyLabels: fc.Arbitrary<Labels> = fc.record({
  presses: fc.array(
    fc.record({
      downUs: us,
      button: words,
      intent: fc.constantFrom('wanted' as const, 'stray', 'unsure'),
      by,
    }),
  ),
  spans: fc.array(fc.tuple(ends, words, by).map(([span, kind, who]) => ({ ...span, kind, by: who }))),
  swings: fc.array(
    fc.tuple(ends, fc.double({ min: 0, max: 1, noNaN: true }), by).map(([span, part, who]) => ({
      ...span,
      peakUs: span.startUs + Math.floor(part * (span.endUs - span.startUs)),
      by: who,
    })),
  ),
  gestures: fc.array(
    fc
      .tuple(ends, fc.constantFrom('thrust' as const, 'hit', 'twist'), by)
      .map(([span, kind, who]) => ({ ...span, kind, by: who })),
  ),
});

describe('export and import', () => {
  test('any labels come back from JSON as they were', () => {
    fc.assert(
      fc.property(anyLabels, words, (labels, title) => {
        expect(parseLabelsJson(formatLabelsJson(labels, title))).toEqual(labels);
      }),
      { numRuns: 300 },
    );
  });

  test('JSON says what it is, and in which version; both may be missing, and in a take’s document mean that', () => {
    const document = JSON.parse(formatLabelsJson(EMPTY_LABELS, 'Slow carry'));
    expect(document).toMatchObject({ format: 'moulinet labels', version: 1, take: 'Slow carry' });
    const { format: _, version: __, ...bare } = document;
    expect(readLabelsDocument(bare)).toEqual(readLabelsDocument(document));
    expect(readLabelsDocument({ ...bare, format: 1 })).toEqual(readLabelsDocument(document));
  });

  test('any labels come back from CSV as they were, kinds with commas, quotes, line ends and blanks among them', () => {
    fc.assert(
      fc.property(anyLabels, (labels) => {
        expect(parseLabelsCsv(formatLabelsCsv(labels))).toEqual(labels);
      }),
      { numRuns: 500 },
    );
  });

  test('labels without gestures are exported with none', () => {
    expect(parseLabelsJson(formatLabelsJson(EMPTY_LABELS, 't'))).toEqual({ ...EMPTY_LABELS, gestures: [] });
  });

  test('a table by another program: semicolons, a byte-order mark, columns in another order, one more, no maker', () => {
    const text =
      '\uFEFFby;what;endUs;startUs;kind;button;note\n;press;;1500;stray;power;in a spin\n\n;span;900;10;still;;\nperson;gesture;30;20;hit;;\n';
    expect(parseLabelsCsv(text)).toEqual({
      presses: [{ downUs: 1500, button: 'power', intent: 'stray', by: 'person' }],
      spans: [{ startUs: 10, endUs: 900, kind: 'still', by: 'person' }],
      swings: [],
      gestures: [{ startUs: 20, endUs: 30, kind: 'hit', by: 'person' }],
    });
  });

  test.each([
    ['', 'the file is empty'],
    ['a,b\n1,2', 'line 1: no column what, startUs'],
    [
      'what,startUs,kind,button\npress,5,wanted,power\npress,5,perhaps,power',
      'line 3.intent must be wanted, stray or unsure, got "perhaps"',
    ],
    ['what,startUs,endUs,kind\nspan,5,5,still', 'line 2.endUs must come after startUs'],
    ['what,startUs,endUs,kind\nspan,1e3,2000,still', 'line 2.startUs must be a whole number'],
    ['what,startUs,endUs,kind\nspan,-3,5,still', 'line 2.startUs must be a whole number'],
    ['what,startUs,endUs,kind\nspan,,5,still', 'line 2.startUs must be a whole number'],
    ['what,startUs,endUs,peakUs\nswing,1,5,6', 'line 2.peakUs must lie inside the swing'],
    ['what,startUs\n"pre\nss",4\nroll,4', 'line 2.what must be press'],
    ['what,startUs,kind\n"press,4,wanted', 'line 2: a quote opens and does not close'],
    ['what,startUs,kind\n\n"press\n,4,wanted\n', 'line 3: a quote opens and does not close'],
    ['what,startUs\r\n"pre\r\nss",4\n\rspan,x', 'line 2.what must be press'],
    ['what,startUs,kind\r\n\n\rspan,x,still', 'line 4.startUs must be a whole number'],
    ['what,startUs,kind\nspan,4,5" blade', 'line 2: a cell that does not begin with a quote holds one'],
    ['what,startUs,kind\n"press"s,4,wanted', 'line 2: a cell goes on behind its quotes'],
  ])('a table %j is refused: %s', (text, message) => {
    expect(() => parseLabelsCsv(text)).toThrow(LabelsError);
    expect(() => parseLabelsCsv(text)).toThrow(message);
  });

  test.each<[string, unknown, string]>([
    ['no object', [], 'the document must be an object'],
    ['another format', { format: 'marks', presses: [] }, 'format must be "moulinet labels", got "marks"'],
    [
      'a later version',
      { format: 'moulinet labels', version: 2 },
      'version must be 1, the one that is read here, got 2',
    ],
    ['no version', { format: 'moulinet labels' }, 'got nothing'],
    ['a candidate in it', DEFAULT_CANDIDATE, 'this is a candidate: choose Import into A'],
    ['a candidate of a later version', { format: 'moulinet candidate', version: 2 }, 'this is a candidate'],
    ['a list that is none', { presses: 5 }, 'presses must be a list'],
    [
      'an unknown maker',
      { spans: [{ startUs: 0, endUs: 1, kind: 'still', by: 'me' }] },
      'spans[0].by must be person, program or simulation, got "me"',
    ],
    [
      'half a microsecond',
      { spans: [{ startUs: 0.5, endUs: 1, kind: 'still' }] },
      'spans[0].startUs must be a whole number',
    ],
    [
      'a kind of 201 letters',
      { spans: [{ startUs: 0, endUs: 1, kind: 'x'.repeat(201) }] },
      'spans[0].kind must be text of 1 to 200',
    ],
    [
      'an unknown gesture',
      { gestures: [{ startUs: 0, endUs: 1, kind: 'cut' }] },
      'gestures[0].kind must be thrust, hit or twist, got "cut"',
    ],
  ])('JSON with %s is refused', (_name, document, message) => {
    expect(() => readLabelsDocument(document)).toThrow(message);
  });

  test('what a simulated take knows of itself reads as the simulation’s', () => {
    const truth = { synthetic: true, presses: [], hits: [{ timeUs: 5, peakG: 3 }], thrusts: [], twists: [] };
    expect(readLabelsDocument(truth).gestures).toEqual([
      { startUs: 5, endUs: 20_005, kind: 'hit', by: 'simulation' },
    ]);
  });
});

test('a press label moves onto the nearest press of its button within 25 ms; the others are told apart', () => {
  const press = (button: string, downUs: number) => ({ button, downUs, upUs: null });
  const label = (button: string, downUs: number) => ({
    button,
    downUs,
    intent: 'stray' as const,
    by: 'person' as const,
  });
  const { labels, strangers } = fitToPresses(
    { ...EMPTY_LABELS, presses: [label('power', 30_000), label('power', 100_001), label('aux', 10_000)] },
    [press('power', 10_000), press('power', 35_000), press('power', 75_000)],
  );
  expect(labels.presses.map((one) => one.downUs)).toEqual([35_000]);
  expect(strangers.map((one) => [one.button, one.downUs])).toEqual([
    ['power', 100_001],
    ['aux', 10_000],
  ]);
});
