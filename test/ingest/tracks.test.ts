import { describe, expect, test } from 'vitest';
import { isActiveLow, looksLikeEdges, readPresses, readTextSpans } from '../../server/ingest/roles/tracks.ts';

/** One character a millisecond; a text is noted where it changes. */
function drawn(trace: string, meaning: Readonly<Record<string, string>> = {}) {
  const texts: { timeUs: number; text: string }[] = [];
  [...trace].forEach((c, i) => {
    const text = meaning[c] ?? c;
    if (texts.at(-1)?.text !== text) texts.push({ timeUs: i * 1000, text });
  });
  return texts;
}

const shown = (presses: ReturnType<typeof readPresses>) =>
  presses
    .map(({ button, downUs, upUs }) => `${button} ${downUs / 1000}-${upUs === null ? '?' : upUs / 1000}`)
    .join(', ');

describe('a column that shows the state', () => {
  test.each([
    ['0 and 1', '00110001000', {}, 'b 2-4, b 7-8'],
    ['still down at the end', '000011', {}, 'b 4-?'],
    ['down from the start', '110000', {}, 'b 0-2'],
    ['false and true', 'ffttff', { f: 'false', t: 'true' }, 'b 2-4'],
    ['released and pressed', 'rrpprr', { r: 'released', p: 'pressed' }, 'b 2-4'],
    ['active low: it rests at 1', '1111001111', {}, 'b 4-6'],
    [
      'the name of the button that is held',
      '..pp..a.',
      { '.': '', p: 'power', a: 'aux' },
      'power 2-4, aux 6-7',
    ],
    ['several buttons by number', '0011220', {}, 'b 2-4, b 2 4-6'],
    ['never pressed', '0000', {}, ''],
    ['constant 1 says nothing', '1111', {}, ''],
  ])('%s', (_name, trace, meaning, expected) => {
    expect(shown(readPresses(drawn(trace, meaning), 'b', 'level', trace.length * 1000))).toBe(expected);
  });

  test('a button that rests at its high level is said to', () => {
    expect(isActiveLow(drawn('1111001111'), 10_000)).toBe(true);
    expect(isActiveLow(drawn('0000110000'), 10_000)).toBe(false);
  });
});

describe('a column that shows what just happened', () => {
  test.each([
    ['down and up', '..d..u..', { '.': '', d: 'down', u: 'up' }, 'b 2-5'],
    [
      'names with verbs',
      '.P.p.A.a',
      { '.': '', P: 'power down', p: 'power up', A: 'aux_press', a: 'aux_release' },
      'power 1-3, aux 5-7',
    ],
    ['+1 and -1', '.+.-', { '.': '0', '+': '1', '-': '-1' }, 'b 1-3'],
    [
      'two buttons at once',
      '.P.A.p.a',
      { '.': '', P: 'power:down', p: 'power:up', A: 'aux:down', a: 'aux:up' },
      'power 1-5, aux 3-7',
    ],
    ['a release without a press', '.u.d', { '.': '', d: 'down', u: 'up' }, 'b 3-?'],
    ['a press whose release is not logged', '.d...d..', { '.': '', d: 'press' }, 'b 1-?, b 5-?'],
  ])('%s', (_name, trace, meaning, expected) => {
    expect(shown(readPresses(drawn(trace, meaning), 'b', 'edge', trace.length * 1000))).toBe(expected);
  });

  test.each([
    [['', 'down', 'up'], true],
    [['0', '1', '-1'], true],
    [['', 'power_press', 'power_release'], true],
    [['0', '1'], false],
    [['pressed', 'released'], false],
    [['', 'power'], false],
    [[''], false],
  ])('%j are edges: %s', (distinct, expected) => expect(looksLikeEdges(distinct)).toBe(expected));
});

test('text spans run from change to change, empty text is none', () => {
  expect(readTextSpans(drawn('aa..bbb', { '.': '' }), 7000)).toEqual([
    { startUs: 0, endUs: 2000, text: 'a' },
    { startUs: 4000, endUs: 7000, text: 'b' },
  ]);
});
