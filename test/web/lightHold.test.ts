import { describe, expect, test } from 'vitest';
import { LightHold, MOST_CHANGES } from '../../web/panels/replay/lightHold.ts';
import { fc } from '../engine/properties.ts';

/** What is on screen frame by frame: `wanted` at 60 frames a second. */
function shownOf(
  wanted: readonly string[],
  frameMs = 1000 / 60,
): { readonly ms: number; readonly state: string }[] {
  const hold = new LightHold();
  return wanted.map((state, k) => ({ ms: k * frameMs, state: hold.step(k * frameMs, state) }));
}

function mostChangesInASecond(shown: ReturnType<typeof shownOf>): number {
  const changes = shown.filter(({ state }, k) => k > 0 && state !== shown[k - 1]!.state).map(({ ms }) => ms);
  return Math.max(
    0,
    ...changes.map((ms) => changes.filter((other) => other >= ms && other < ms + 1000).length),
  );
}

describe('LightHold', () => {
  test('whatever is wanted, and however frames come, no second holds three changes', () => {
    expect(MOST_CHANGES).toBeLessThan(3);
    const states = fc.array(fc.constantFrom('lit lit', 'dark lit', 'wronglyDark dark'), {
      minLength: 2,
      maxLength: 400,
    });
    fc.assert(
      fc.property(states, fc.double({ min: 1, max: 400, noNaN: true }), (wanted, frameMs) => {
        expect(mostChangesInASecond(shownOf(wanted, frameMs))).toBeLessThan(3);
      }),
    );
  });

  test('without the hold the same would flash (so the test above can fail)', () => {
    const wanted = Array.from({ length: 120 }, (_, k) => (k % 10 < 5 ? 'lit' : 'dark'));
    expect(mostChangesInASecond(wanted.map((state, k) => ({ ms: k * 16.7, state })))).toBeGreaterThan(10);
    expect(mostChangesInASecond(shownOf(wanted))).toBe(2);
  });

  test('two changes pass at once, and the third waits until more than a second after the first', () => {
    const hold = new LightHold();
    expect(hold.step(0, 'dark')).toBe('dark');
    expect(hold.step(100, 'lit')).toBe('lit');
    expect(hold.waitMs(100)).toBe(0);
    expect(hold.step(300, 'dark')).toBe('dark');
    expect(hold.step(350, 'lit')).toBe('dark');
    expect(hold.waitMs(350)).toBe(950);
    expect(hold.step(1299, 'lit')).toBe('dark');
    expect(hold.step(1300, 'lit')).toBe('lit');
  });

  test('a state that comes to rest is shown soon after', () => {
    const wanted = [
      ...Array.from({ length: 30 }, (_, k) => (k % 2 ? 'lit' : 'dark')),
      ...Array(80).fill('unknown'),
    ];
    expect(shownOf(wanted).at(-1)!.state).toBe('unknown');
  });
});
