import { describe, expect, test } from 'vitest';
import { labelDoubts, labelledBothWays } from '../../../server/engine/labels/labelDoubts.ts';
import {
  EMPTY_LABELS,
  type Intent,
  type LabelBy,
  type Labels,
} from '../../../server/engine/labels/labels.ts';
import { fitToPresses } from '../../../server/engine/labels/labelsFit.ts';
import { doubtTexts } from '../../../server/engine/words/labels.ts';

const press = (downUs: number, intent: Intent, by: LabelBy = 'person', button = 'power') => ({
  downUs,
  intent,
  by,
  button,
});
const span = (kind: string, startUs: number, endUs: number, by: LabelBy = 'person') => ({
  kind,
  startUs,
  endUs,
  by,
});
const swing = (peakUs: number, by: LabelBy = 'person') => ({
  startUs: peakUs - 100,
  endUs: peakUs + 100,
  peakUs,
  by,
});

describe('labels that cannot both be right', () => {
  test.each<[string, Partial<Labels>, string[]]>([
    ['no labels', {}, []],
    [
      'a press labelled both ways',
      { presses: [press(5, 'wanted'), press(5, 'stray'), press(5, 'stray')] },
      ['bothWays 5'],
    ],
    ['unsure contradicts nothing', { presses: [press(5, 'unsure'), press(5, 'stray')] }, []],
    [
      'two buttons at one time are two presses',
      { presses: [press(5, 'wanted'), press(5, 'stray', 'person', 'aux')] },
      [],
    ],
    [
      'a person’s word settles what the simulation says both ways',
      { presses: [press(5, 'wanted', 'simulation'), press(5, 'stray', 'simulation'), press(5, 'stray')] },
      [],
    ],
    [
      'a wanted press inside a labelled spin',
      {
        presses: [press(500, 'wanted'), press(600, 'stray'), press(900, 'wanted')],
        spans: [span('spinning', 400, 800)],
      },
      ['wantedInSpin 500'],
    ],
    [
      'a wanted press at the very end of a spin is none',
      { presses: [press(800, 'wanted')], spans: [span('spinning', 400, 800)] },
      [],
    ],
    [
      'a proposed spin contradicts nothing',
      { presses: [press(500, 'wanted')], spans: [span('spinning', 400, 800, 'program')] },
      [],
    ],
    [
      'spinning and still overlap, from where they do',
      { spans: [span('spinning', 400, 800), span('still', 700, 900), span('still', 800, 1000)] },
      ['spinAndStill 700'],
    ],
    [
      'a drill may lie over anything',
      { spans: [span('spinning', 400, 800), span('figure eight', 300, 900)] },
      [],
    ],
    [
      'a swing in stillness, and one said to be none',
      { swings: [swing(500), swing(1500)], spans: [span('still', 400, 800), span('no swing', 1400, 1600)] },
      ['swingDenied 500', 'swingDenied 1500'],
    ],
    [
      'what another labeller says of a swing is settled by who is better',
      { swings: [swing(500, 'simulation')], spans: [span('no swing', 400, 800)] },
      [],
    ],
  ])('%s', (_name, labels, expected) => {
    const found = labelDoubts({ ...EMPTY_LABELS, ...labels });
    expect(found.map(({ kind, atUs }) => `${kind} ${atUs}`)).toEqual(expected);
  });

  test('two labels of a file that fall on the same press, 20 ms apart, contradict one another once fitted', () => {
    const read = { ...EMPTY_LABELS, presses: [press(1_000_000, 'wanted'), press(1_020_000, 'stray')] };
    expect(labelledBothWays(read)).toEqual([]);
    const { labels } = fitToPresses(read, [{ button: 'power', downUs: 1_010_000, upUs: null }]);
    expect(labelledBothWays(labels)).toEqual([1_010_000]);
  });

  test('are told in a sentence a kind, with the moments', () => {
    const presses = [1, 2, 3, 4, 5, 6].flatMap((s) => [press(s * 1e6, 'wanted'), press(s * 1e6, 'stray')]);
    const spans = [span('spinning', 20e6, 30e6), span('still', 29e6, 40e6)];
    expect(doubtTexts(labelDoubts({ ...EMPTY_LABELS, presses, spans }))).toEqual([
      '6 presses at 1.00 s, 2.00 s, 3.00 s, 4.00 s and 2 more are labelled both wanted and stray: until you decide, the first label counts',
      'a span labelled spinning and one labelled still overlap, from 29.00 s on; shorten one of the two',
    ]);
    const one = labelDoubts({
      ...EMPTY_LABELS,
      presses: [press(25e6, 'wanted')],
      spans: [span('spinning', 20e6, 30e6)],
      swings: [],
    });
    expect(doubtTexts(one)).toEqual([
      'the press at 25.00 s is labelled wanted inside a span labelled spinning; one of the two is wrong, or the span ends too late',
    ]);
  });
});
