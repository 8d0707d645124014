import { describe, expect, test } from 'vitest';
import { stillSvg } from '../../../server/engine/export/sheet/stillSvg.ts';
import type { LightState } from '../../../server/engine/replay/light.ts';
import { stillBlade } from '../../../server/engine/replay/still.ts';
import { gridOf, turningPath } from '../replay/paths.ts';

const closed = new Uint8Array(200).fill(1, 60, 100);
const still = (light: LightState, label = 'a stray press') =>
  stillSvg({ ...stillBlade(turningPath(200), gridOf(200), closed, 150), light, label });

describe('stillSvg', () => {
  test('stands alone: one element, nothing fetched, no script, the label read out', () => {
    const svg = still('lit', 'a "stray" press < 5 s & more');
    expect(svg).toMatch(/^<svg [^>]+>.*<\/svg>$/);
    expect(svg).toContain('aria-label="a &quot;stray&quot; press &lt; 5 s &amp; more"');
    expect(svg).not.toMatch(/href|url\(|script|style=|NaN/);
  });

  test('open and closed parts of the trail differ by dash and width, lit and dark blades by more than hue', () => {
    const svg = still('lit');
    expect(svg.match(/class="closed" [^>]*stroke-width="3"/g)?.length).toBe(1);
    expect(svg.match(/class="open" [^>]*stroke-dasharray/g)?.length).toBe(2);
    expect(new Set(['lit', 'dark', 'unknown'].map((light) => still(light as LightState))).size).toBe(3);
    expect(still('wronglyDark')).toBe(still('dark'));
  });

  test('the blade ends where the trail does', () => {
    const svg = still('lit');
    const ends = [...svg.matchAll(/d="[^"]*L([\d.]+ [\d.]+)"/g)].map((found) => found[1]);
    expect(ends.at(-1)).toBe(ends.at(-3));
    expect(ends.at(-1)).toBe(ends.at(-2));
  });
});
