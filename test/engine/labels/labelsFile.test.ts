import { describe, expect, test } from 'vitest';
import type { Press } from '../../../server/engine/base/log.ts';
import { EMPTY_LABELS, type Labels } from '../../../server/engine/labels/labels.ts';
import { countLabels } from '../../../server/engine/labels/labelsFit.ts';
import { LabelsError } from '../../../server/engine/labels/labelsRead.ts';
import { formatLabelsCsv, formatLabelsJson } from '../../../server/engine/labels/labelsWrite.ts';
import { readLabelFile } from '../../../server/engine/words/labelFile.ts';

const presses: readonly Press[] = [
  { button: 'power', downUs: 1_000_000, upUs: null },
  { button: 'power', downUs: 2_000_000, upUs: null },
];
const labels: Labels = {
  presses: [
    { downUs: 1_010_000, button: 'power', intent: 'stray', by: 'person' },
    { downUs: 1_500_000, button: 'power', intent: 'wanted', by: 'person' },
  ],
  spans: [{ startUs: 0, endUs: 900_000, kind: 'still', by: 'simulation' }],
  swings: [{ startUs: 6_000_000, peakUs: 6_100_000, endUs: 6_200_000, by: 'person' }],
  gestures: [{ startUs: 10, endUs: 20, kind: 'hit', by: 'person' }],
};

describe('labels from a file', () => {
  test.each([
    ['JSON', formatLabelsJson(labels, 'a take')],
    ['CSV', formatLabelsCsv(labels)],
  ])('%s: what fits is taken, what does not is told of', (_name, text) => {
    const fitted = readLabelFile(text, presses, 5_000_000);
    expect(fitted.labels).toEqual({
      presses: [{ downUs: 1_000_000, button: 'power', intent: 'stray', by: 'person' }],
      spans: labels.spans,
      swings: [],
      gestures: labels.gestures,
    });
    expect(fitted.leftOut).toBe(
      'Left out: 1 label of a press that this take does not hold; 1 label beyond the end of the take.',
    );
    expect(countLabels(fitted.labels)).toBe(3);
  });

  test('nothing is said where all fits', () => {
    expect(
      readLabelFile(formatLabelsJson({ ...EMPTY_LABELS, spans: labels.spans }, ''), presses, 5_000_000)
        .leftOut,
    ).toBe(null);
  });

  test('what is neither is refused in words', () => {
    expect(() => readLabelFile('time,ax,ay\n0,1,2', presses, 1)).toThrow('no column what, startUs');
    expect(() => readLabelFile('{"presses": 3', presses, 1)).toThrow('no JSON');
  });

  test.each([
    ['%PDF-1.7\n%âãÏÓ\n1 0 obj', 'this is a PDF file: labels come as JSON, or as a table in CSV'],
    ['PK\u0003\u0004\u0014\0', 'this is a ZIP file or a spreadsheet'],
    ['what\0startUs', 'this is no text file'],
  ])('a file of another kind is named: %j', (text, why) => {
    expect(() => readLabelFile(text, presses, 1)).toThrow(LabelsError);
    expect(() => readLabelFile(text, presses, 1)).toThrow(why);
  });

  test.each<[string, Labels, readonly Press[], RegExp]>([
    [
      'of another button',
      { ...EMPTY_LABELS, presses: labels.presses },
      presses.map((press) => ({ ...press, button: 'b' })),
      /^no label in it fits this take\. Left out: 2 labels of the button “power”, while in this take “b” is pressed\.$/,
    ],
    [
      'in a log without presses',
      { ...EMPTY_LABELS, presses: labels.presses },
      [],
      /while in this take none is pressed/,
    ],
    [
      'beyond the end',
      { ...EMPTY_LABELS, swings: labels.swings },
      presses,
      /1 label beyond the end of the take/,
    ],
    ['that are none', EMPTY_LABELS, presses, /fits this take\. It holds none\.$/],
  ])('labels %s are refused, with the reason', (_name, one, own, message) => {
    expect(() => readLabelFile(formatLabelsJson(one, ''), own, 5_000_000)).toThrow(LabelsError);
    expect(() => readLabelFile(formatLabelsJson(one, ''), own, 5_000_000)).toThrow(message);
  });
});
