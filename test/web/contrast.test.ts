import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';

/** Relative luminance and contrast ratio as WCAG 2.2 defines them. */
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const part = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
}

function contrast(one: string, other: string): number {
  const [high, low] = [luminance(one), luminance(other)].sort((a, b) => b - a);
  return (high! + 0.05) / (low! + 0.05);
}

const css = readFileSync(new URL('../../web/style/theme.css', import.meta.url), 'utf8');
const pairs = [...css.matchAll(/--([a-z-]+): light-dark\((#[0-9a-f]{6}), (#[0-9a-f]{6})\);/g)];
const schemes = (['light', 'dark'] as const).map((name, k) => ({
  name,
  colours: Object.fromEntries(pairs.map((pair) => [pair[1]!, pair[2 + k]!])),
}));

test.each([
  ['#777777', '#ffffff', 4.478089],
  ['#767676', '#ffffff', 4.542225],
  ['#ff0000', '#ffffff', 3.998477],
])('%s on %s has the ratio that WCAG 2.2 gives (published check values, recomputed)', (one, other, ratio) => {
  expect(contrast(one, other)).toBeCloseTo(ratio, 5);
});

describe.each(schemes)('scheme $name', ({ colours }) => {
  const pairs = [
    ...['ink', 'quiet', 'guard', 'deflection', 'stab', 'twist', 'impact', 'good', 'bad'].flatMap((text) =>
      ['paper', 'sheet', 'raised'].map((ground) => [text, ground]),
    ),
    ['good', 'good-ground'],
    ['bad', 'bad-ground'],
    ['caution', 'caution-ground'],
    ['ink', 'chosen'],
    ['quiet', 'chosen'],
    ['quiet', 'hover'],
    ['on-dark', 'ink'],
    ...['guard', 'deflection', 'stab', 'twist', 'impact'].map((hue) => ['on-dark', hue]),
  ] as [string, string][];
  test.each(pairs)('text in %s on %s reaches 4.5:1 (WCAG 2.2, 1.4.3)', (text, ground) => {
    expect(contrast(colours[text]!, colours[ground]!)).toBeGreaterThanOrEqual(4.5);
  });
});

test('the stage of a replay has the colours of the dark scheme, and lit and dark blades reach 3:1 on it (1.4.11)', () => {
  const replay = readFileSync(new URL('../../web/style/replay.css', import.meta.url), 'utf8');
  const stage = [...replay.matchAll(/--([a-z-]+): (#[0-9a-f]{6});/g)].map(
    ([, name, hex]) => [name!, hex!] as const,
  );
  const dark = schemes[1]!.colours;
  const own = Object.fromEntries(stage);
  expect(stage.length).toBeGreaterThan(10);
  for (const [name, hex] of stage) if (name !== 'lit') expect(`${name} ${hex}`).toBe(`${name} ${dark[name]}`);
  for (const name of ['lit', 'quiet', 'bad', 'guard', 'ink'])
    expect(contrast(own[name]!, own['paper']!)).toBeGreaterThanOrEqual(3);
});
