import { describe, expect, test } from 'vitest';
import { sheetHtml } from '../../../server/engine/export/sheet/html.ts';
import { mapFacts } from '../../../server/engine/export/sheet/mapFacts.ts';
import { mapSvg } from '../../../server/engine/export/sheet/mapSvg.ts';
import { sheetMarkdown } from '../../../server/engine/export/sheet/markdown.ts';
import { shadesOf } from '../../../server/engine/export/sheet/shades.ts';
import { type SheetSetting, sheetOf } from '../../../server/engine/export/sheet/sheet.ts';
import type { SettingMap } from '../../../server/engine/kept/keptSetting.ts';
import { withField } from '../../../server/engine/settings/candidateRules.ts';
import { MADE_CANDIDATE, MADE_EVIDENCE, MADE_GUARD, madeSetting, madeTake } from '../kept/madeSetting.ts';

const html = (setting: SheetSetting) => sheetHtml(sheetOf(setting));
const markdown = (setting: SheetSetting) => sheetMarkdown(sheetOf(setting));
/** What a reader of the page sees, without styles and tags. */
const wordsOf = (page: string) =>
  page
    .replace(/<style>[\s\S]*?<\/style>/, '')
    .replace(/<[^>]*>/g, ' ')
    .replaceAll('&quot;', '"')
    .replaceAll('&#39;', "'")
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&amp;', '&')
    .replace(/\s+/g, ' ');
/** Markdown as it reads, without its signs. */
const readMarkdown = (text: string) =>
  text
    .replace(/\\([^\w\s])/g, '$1')
    .replaceAll('**', '')
    .replace(/\s+/g, ' ');

const BOTH: readonly (readonly [string, (setting: SheetSetting) => string])[] = [
  ['HTML', (setting) => wordsOf(html(setting))],
  ['Markdown', (setting) => readMarkdown(markdown(setting))],
];

describe.each(BOTH)('a sheet as %s', (_name, read) => {
  const text = read(madeSetting());

  test.each([
    'Lead spinner, spring',
    'Lantern blade',
    'Lead spinner and Stage duellist',
    'For the parade route with two stops.',
    '2026-05-02, 09:15 UTC',
    '2026-05-02, 09:15 UTC, on 3 of 4 takes, by Moulinet 0.1.0',
    '1 take is synthetic, of 3: they come from a simulation, and prove nothing of a real prop.',
    'as suggested on these takes',
    'chosen by hand',
    '0 of 29 stray presses let through (about 95 %: 0–12 %); 1 of 34 wanted presses refused (about 95 %: 1–15 %).',
    'Swing speed: 170 to 260 °/s do no worse; at 160 °/s and at 270 °/s more goes wrong.',
    'Hold after swing: 190 to 400 ms do no worse; at 180 ms more goes wrong; above 400 ms no suggestion was looked for.',
    '5 takes in turn: 0 of 29 stray presses let through, 1 of 34 wanted presses refused. Most wrong: Full routine (0 of 12 stray presses let through, 1 of 11 wanted presses refused). 3 performers in turn:',
    'Half the sample rate: 1 verdict turns; gyro reads 3 % more: no verdict turns.',
    'On these takes the program suggests 230 °/s, re-arm below 0.55 of it.',
    'routine-2026-04-18.csv 0123456789ab',
    '12 stray presses, 11 wanted presses, 64 swings, 4 spins, 3 gestures; 90 of 94 by a person',
    'Rehearsal (Lead spinner): the gyro axes disagree with gravity.',
    'peaks on clipped samples: Duel',
    'convenience, no safety device',
    'the prop’s maker has the last word',
    'E. B. Wilson',
    'Tried on the prop by',
  ])('says: %s', (words) => expect(text).toContain(words));

  test('where these takes tell too little it says why, and gives no number', () => {
    expect(text).toContain('Only 3 thrusts are labelled, too few to choose by: it takes 5.');
    expect(text).not.toContain('1 of 3 thrusts');
    expect(text).not.toContain('1 g after 200 ms of quiet');
  });

  test('says so where the setting was judged on no take', () => {
    const bare = read(madeSetting({ evidence: null }));
    expect(bare).toContain('Not judged on any take');
    expect(bare).toContain('Guard closes at a swing speed of');
    for (const words of ['Scores', 'How far it holds', ' of 29', 'Wilson', 'SHA-256'])
      expect(bare).not.toContain(words);
  });

  test('says so where no take counts, and where all are synthetic', () => {
    const judgedOn = (...takes: (typeof MADE_EVIDENCE)['takes'][number][]) =>
      read(madeSetting({ evidence: { ...MADE_EVIDENCE, takes } }));
    expect(judgedOn(madeTake({ leftOut: 'too slow' }))).toContain('No take counts');
    expect(judgedOn(madeTake({ isSynthetic: true }))).toContain('All takes are synthetic');
    expect(judgedOn(madeTake())).not.toContain('synthetic');
  });

  test('what is chosen for the guard by motion is told with the exact interval', () => {
    const problems = [{ ...MADE_GUARD, kind: 'motion' as const }];
    const told = read(madeSetting({ evidence: { ...MADE_EVIDENCE, problems } }));
    expect(told).toContain('0 of 29 spins open too long (at least 95 %: 0–12 %)');
    expect(told).toContain('Clopper');
  });

  test('values that make no difference are left out', () => {
    expect(text).toContain('Order');
    expect(text).not.toContain('looks back over');
    expect(text).not.toContain('A held power button acts within');
    const held = withField(MADE_CANDIDATE, 'guard.decideAt', 'held');
    expect(read(madeSetting({ candidate: held }))).toContain('A held power button acts within');
  });
});

describe('a sheet', () => {
  test('as HTML needs nothing beside it, and runs nothing', () => {
    const page = html(madeSetting());
    expect(page).not.toMatch(/<script|<link|<img|<iframe|\bsrc=|\bhref=|https?:|@import|\bon\w+=/i);
    expect(page.match(/url\([^)]*\)/g)!.filter((one) => one !== 'url(#never)')).toEqual([]);
    expect(page).toContain("default-src 'none'");
    expect(page.length).toBeGreaterThan(20_000);
  });

  /** Every text that a person, a file or another program has put in. */
  const withTexts = (nasty: string): SheetSetting => {
    const take = madeTake({
      id: nasty,
      title: nasty,
      performer: nasty,
      prop: nasty,
      session: nasty,
      leftOut: null,
      cautions: [nasty],
      sources: [{ name: nasty, sha256: '0'.repeat(64) }],
    });
    const held = { folds: 2, wrong: MADE_GUARD.wrong, worst: { name: nasty, wrong: MADE_GUARD.wrong } };
    const stress = [{ name: nasty, wrong: {}, flips: 1, moreFires: 0 }];
    return madeSetting({
      name: nasty,
      prop: nasty,
      performers: [nasty],
      note: nasty,
      evidence: {
        ...MADE_EVIDENCE,
        program: nasty,
        takes: [take, { ...take, leftOut: nasty }],
        stills: MADE_EVIDENCE.stills.map((still) => ({ ...still, title: nasty, text: nasty })),
        groups: [0, 1].map(() => ({ by: 'session' as const, name: nasty, scores: MADE_EVIDENCE.scores })),
        problems: [
          { ...MADE_GUARD, byTake: held, byPerformer: held, stress },
          { ...MADE_GUARD, kind: 'stab', declined: nasty },
        ],
      },
    });
  };

  test.each([
    '<script>alert(1)</script>',
    '"><img src=x onerror=alert(1)>',
    "' onmouseover='alert(1)",
    '</style></title><b>',
    '&lt;b&gt; & <!--',
  ])('as HTML takes no name for markup: %s', (nasty) => {
    const tags = (page: string) => page.match(/<[^>]*>/g);
    const page = html(withTexts(nasty));
    expect(tags(page)).toEqual(tags(html(withTexts('Plain'))));
    expect(wordsOf(page).split(nasty).length).toBe(wordsOf(html(withTexts('Plain'))).split('Plain').length);
  });

  test.each(['# a', '<b>x</b>', '[a](b)', 'a | b', '`c` *d* _e_', '![a](b)', 'a\n\n# b', '&amp;'])(
    'as Markdown takes no name for a sign: %j',
    (nasty) => {
      const signs = (text: string) =>
        text
          .split('\n')
          .map((line) => line.replace(/\\[^\w\s]/g, '').replace(/[^#<>[\]|`*!&_-]/g, ''))
          .filter((line) => line !== '');
      const bare = nasty.replace(/[^\w\s]/g, '').replace(/\s+/g, ' ');
      expect(signs(markdown(withTexts(nasty)))).toEqual(signs(markdown(withTexts(bare))));
    },
  );
});

describe('the map on a sheet', () => {
  const draw = (map: SettingMap, over: Partial<typeof MADE_GUARD> = {}) =>
    mapSvg(mapFacts({ ...MADE_GUARD, ...over }, map), 'a map');

  test('shades each cell by its own count: the area of each shade is that of its cells', () => {
    const map = MADE_GUARD.map!;
    const svg = draw(map);
    const cell = (292 * 132) / map.wrong.length;
    const seen = new Map(
      [...svg.matchAll(/<path fill="([^"]+)" d="([^"]+)"/g)].map(([, fill, d]) => [fill, areaOf(d!)]),
    );
    for (const { fill, holds } of shadesOf(map.wrong)) {
      const count = map.wrong.filter(holds).length;
      // Corners are rounded to tenths.
      expect(Math.abs(seen.get(fill)! / cell - count), fill).toBeLessThan(0.02 * count + 0.5);
    }
    expect([...seen.keys()]).toHaveLength(shadesOf(map.wrong).length);
  });

  test('first value to the right, second value upwards', () => {
    const corner: SettingMap = { xs: [1, 2, 3], ys: [10, 20], wrong: [0, 0, 0, 0, 0, 9], of: 9, plateau: [] };
    const svg = draw(corner, { x: 3, y: 20, margins: null, suggested: null });
    const dark = /<path fill="(?!#ffffff)[^"]+" d="M([\d.]+) ([\d.]+)H([\d.]+)V([\d.]+)/.exec(svg)!;
    const [x0, y0, x1, y1] = dark.slice(1).map(Number) as [number, number, number, number];
    expect([Math.round(x0), x1]).toEqual([235, 332]);
    expect([y0, y1]).toEqual([72, 6]);
    const [, cx, cy] = /class="point" cx="([\d.]+)" cy="([\d.]+)"/.exec(svg)!.map(Number);
    expect(cx).toBeCloseTo((x0 + x1) / 2, 0);
    expect(cy).toBeCloseTo((y0 + y1) / 2, 0);
  });

  test('a setting beyond the map has no mark, and the sheet says so', () => {
    const beyond = { ...MADE_GUARD, x: 900, margins: null };
    expect(draw(MADE_GUARD.map!, beyond)).not.toContain('class="point"');
    const page = html(madeSetting({ evidence: { ...MADE_EVIDENCE, problems: [beyond] } }));
    expect(page).toContain('this setting lies beyond what was tried');
  });

  test.each([
    [0, 'none'],
    [1, 'none 1'],
    [3, 'none 1 2–3'],
    [20, 'none 1 2–3 4–7 8–15 16–20'],
    [51, 'none 1–2 3–8 9–26 27–51'],
    [317, 'none 1–3 4–15 16–63 64–255 256–317'],
  ])('up to %i wrong the shades are %s, and each count has one', (most, names) => {
    const all = Array.from({ length: most + 1 }, (_, count) => count);
    const shades = shadesOf([...all, null]);
    expect(shades.map(({ name }) => name).join(' ')).toBe(`${names} never suggested`);
    for (const count of [...all, null])
      expect(
        shades.filter(({ holds }) => holds(count)),
        String(count),
      ).toHaveLength(1);
  });
});

/** Of a path of rectangles `M x y H x V y H x Z`. */
function areaOf(d: string): number {
  const rectangles = [...d.matchAll(/M([\d.]+) ([\d.]+)H([\d.]+)V([\d.]+)H[\d.]+Z/g)];
  return rectangles.reduce(
    (sum, [, x0, y0, x1, y1]) => sum + (Number(x1) - Number(x0)) * (Number(y0) - Number(y1)),
    0,
  );
}
