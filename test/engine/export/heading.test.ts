import { expect, test } from 'vitest';
import { handOverHeading } from '../../../server/engine/export/heading.ts';
import { sheetHtml } from '../../../server/engine/export/sheet/html.ts';
import { sheetMarkdown } from '../../../server/engine/export/sheet/markdown.ts';
import { sheetOf } from '../../../server/engine/export/sheet/sheet.ts';
import { changesSince } from '../../../server/engine/kept/stale.ts';
import { generateHeader } from '../../../server/engine/prop/c99/generate.ts';
import { MADE_CANDIDATE, MADE_EVIDENCE, madeSetting } from '../kept/madeSetting.ts';

const CAUTION = 'Written by Moulinet. A guard is a convenience, no safety device.';
const CHANGED = [{ kind: 'changed', titles: ['Duel */ one'] }] as const;

test('what goes to a prop says what it rests on', () => {
  expect(handOverHeading('Spring', madeSetting(), [])).toEqual([
    'Setting: Spring',
    'Kept 2026-05-02 for Lead spinner and Stage duellist, Lantern blade.',
    'Judged 2026-05-02 on 3 takes: Full routine, Duel and First lesson.',
    'Power-off guard: 0 of 29 stray presses let through, 1 of 34 wanted presses refused.',
    'Swing deflection: 3 of 190 swings missed, 0 of 190 swings that fire twice, 2 fires outside any swing.',
    'Stab: Only 3 thrusts are labelled, too few to choose by: it takes 5.',
    '1 take is synthetic, of 3: they come from a simulation, and prove nothing of a real prop.',
    CAUTION,
  ]);
  const unjudged = { ...madeSetting(), evidence: null };
  expect(handOverHeading('Spring', unjudged, changesSince(unjudged, [], '1.0.0'))).toEqual([
    'Setting: Spring',
    'Kept 2026-05-02 for Lead spinner and Stage duellist, Lantern blade.',
    'Not judged on any take: nothing says how well these values do.',
    CAUTION,
  ]);
  expect(handOverHeading('setting', null, [])).toEqual(['Setting: setting', CAUTION]);
});

test('of a season the first takes are named, and how many more there are', () => {
  const [take] = MADE_EVIDENCE.takes;
  const takes = Array.from({ length: 1000 }, (_, i) => ({ ...take!, title: `T${i + 1}`, leftOut: null }));
  const [, , judged] = handOverHeading(
    'Spring',
    { ...madeSetting(), evidence: { ...MADE_EVIDENCE, takes } },
    [],
  );
  expect(judged).toBe('Judged 2026-05-02 on 1000 takes: T1, T2, T3, T4, T5, T6, T7, T8 and 992 more.');
});

test('what has changed since it was judged is told, in code and on the sheet', () => {
  const told = 'Out of date. Labels or calibration have changed since: Duel';
  const heading = handOverHeading('Spring', madeSetting(), CHANGED);
  expect(heading).toContain(`${told} */ one.`);
  const calibration = { mount: { tip: '+x', side: '+y' }, leverArmM: 0, accelScale: 1 } as const;
  const { text } = generateHeader({ candidate: MADE_CANDIDATE, calibration, rateHz: 200 }, heading);
  expect(text).toContain(` * ${told} * / one.`);
  for (const sheet of [sheetHtml, sheetMarkdown]) {
    expect(sheet(sheetOf(madeSetting(), CHANGED))).toContain(told);
    expect(sheet(sheetOf(madeSetting()))).not.toContain('Out of date');
  }
});
