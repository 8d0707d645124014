import { describe, expect, test } from 'vitest';
import {
  EMPTY_LABELS,
  type Labels,
  type PressLabel,
  type SpanLabel,
} from '../../server/engine/labels/labels.ts';
import { changesOf, mergeLabels } from '../../web/state/mergeLabels.ts';

const press = (downUs: number, intent: PressLabel['intent']): PressLabel => ({
  downUs,
  button: 'power',
  intent,
  by: 'person',
});
const span = (startUs: number, endUs: number, kind = 'spinning'): SpanLabel => ({
  startUs,
  endUs,
  kind,
  by: 'person',
});
const labels = (presses: PressLabel[], spans: SpanLabel[] = []): Labels => ({
  ...EMPTY_LABELS,
  presses,
  spans,
});

const BASE = labels([press(1, 'stray')], [span(0, 10)]);

test('changes are what was added and what was taken away', () => {
  const now = labels([press(1, 'wanted')], [span(0, 10)]);
  expect(changesOf(BASE, now)).toEqual({
    added: [['presses', press(1, 'wanted')]],
    removed: [['presses', press(1, 'stray')]],
  });
});

describe('both', () => {
  test.each<[string, Labels, Labels, Labels, number]>([
    [
      'what either added stands',
      labels([press(1, 'stray'), press(2, 'wanted')], [span(0, 10)]),
      labels([press(1, 'stray')], [span(0, 10), span(20, 30)]),
      labels([press(1, 'stray'), press(2, 'wanted')], [span(0, 10), span(20, 30)]),
      0,
    ],
    ['what either took away is gone', labels([], [span(0, 10)]), labels([press(1, 'stray')]), labels([]), 0],
    [
      'the same change twice is one',
      labels([press(1, 'wanted')], [span(0, 10)]),
      labels([press(1, 'wanted')], [span(0, 10)]),
      labels([press(1, 'wanted')], [span(0, 10)]),
      0,
    ],
    [
      'a press that is labelled otherwise on either side keeps theirs, and mine is told of',
      labels([press(1, 'wanted')], [span(0, 10)]),
      labels([press(1, 'unsure')], [span(0, 10)]),
      labels([press(1, 'unsure')], [span(0, 10)]),
      1,
    ],
    [
      'so does a span of the same kind over the same stretch; one of another kind may lie there',
      labels([press(1, 'stray')], [span(0, 10), span(20, 30), span(22, 28, 'still')]),
      labels([press(1, 'stray')], [span(0, 10), span(25, 35)]),
      labels([press(1, 'stray')], [span(0, 10), span(22, 28, 'still'), span(25, 35)]),
      1,
    ],
  ])('%s', (_name, mine, theirs, expected, contradicted) => {
    const merged = mergeLabels(BASE, mine, theirs);
    expect({ ...EMPTY_LABELS, ...merged.labels, gestures: undefined }).toEqual({
      ...expected,
      gestures: undefined,
    });
    expect(merged.contradicted).toHaveLength(contradicted);
  });
});
