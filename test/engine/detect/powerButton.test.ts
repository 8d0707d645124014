import { expect, test } from 'vitest';
import type { Press } from '../../../server/engine/base/log.ts';
import { type GuardSettings, runGuard } from '../../../server/engine/detect/guard.ts';
import { PowerButton } from '../../../server/engine/detect/powerButton.ts';
import { judgePresses } from '../../../server/engine/detect/presses.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { seededRandom } from '../../seeded.ts';
import { fakeSignals } from '../fakeSignals.ts';
import { fc } from '../properties.ts';

const RATE_HZ = 100;
const STEP_US = 10_000;

/** The presses of a track of samples, each from the first sample that is down to the first that is up. */
function pressesOf(isDown: readonly boolean[]): Press[] {
  const presses: Press[] = [];
  for (let i = 0; i < isDown.length; ++i) {
    if (!isDown[i] || isDown[i - 1]) continue;
    let end = i;
    while (end < isDown.length && isDown[end]) ++end;
    presses.push({ button: 'power', downUs: i * STEP_US, upUs: end < isDown.length ? end * STEP_US : null });
  }
  return presses;
}

const rule = fc.record({
  decideAt: fc.constantFrom('press' as const, 'release' as const, 'held' as const),
  pressLength: fc.constantFrom('any' as const, 'short' as const, 'long' as const),
  // Times between samples where nothing is debounced, and whole samples besides.
  times: fc.oneof(
    fc.record({
      heldLimitMs: fc.integer({ min: 0, max: 400 }),
      longFromMs: fc.integer({ min: 50, max: 300 }),
      debounceMs: fc.constant(0),
    }),
    fc.record({
      heldLimitMs: fc.integer({ min: 0, max: 40 }).map((n) => 10 * n),
      longFromMs: fc.integer({ min: 5, max: 30 }).map((n) => 10 * n),
      debounceMs: fc.integer({ min: 1, max: 8 }).map((n) => 10 * n),
    }),
  ),
});

test('a sample at a time it comes to what the whole log comes to: which presses act, when, and which are refused', () => {
  const seen = { acts: 0, refused: 0, late: 0, bounces: 0 };
  fc.assert(
    fc.property(fc.nat(), rule, (seed, { decideAt, pressLength, times }) => {
      const guard: GuardSettings = {
        ...DEFAULT_CANDIDATE.guard,
        ...{ speedDps: 200, holdMs: 60, decideAt, pressLength, ...times },
      };
      const random = seededRandom(seed);
      const isDown: boolean[] = [];
      while (isDown.length < 400) {
        const run = 1 + Math.floor(random() ** 2 * 40);
        isDown.push(...new Array<boolean>(run).fill(isDown.at(-1) !== true));
      }
      // What is still going on at the end is not decided by either.
      isDown.push(...new Array<boolean>(20).fill(false));
      const speed = Float64Array.from(
        isDown,
        (_, i) => 400 * Math.abs(Math.sin((i * (1 + (seed % 5))) / 17)),
      );
      const signals = fakeSignals({ swingSpeedDps: speed }, { rateHz: RATE_HZ });
      const closed = runGuard(signals, guard);
      const verdicts = judgePresses(signals, closed, pressesOf(isDown), guard);
      const button = new PowerButton(guard, RATE_HZ);
      const actsUs: number[] = [];
      let refused = 0;
      isDown.forEach((down, i) => {
        button.step(down, closed[i] === 1);
        if (button.acts) actsUs.push(i * STEP_US);
        if (button.refuses) ++refused;
      });
      const sampled = (us: number) => Math.floor(us / STEP_US + 1e-9) * STEP_US;
      const accepted = verdicts.filter((one) => one.accepted === true);
      expect(actsUs).toEqual(accepted.map(({ decidedUs }) => sampled(decidedUs!)));
      expect(refused).toBe(verdicts.filter((one) => one.accepted === false).length);
      seen.acts += actsUs.length;
      seen.refused += refused;
      seen.late += accepted.filter(({ heldMs }) => heldMs > 0).length;
      seen.bounces += verdicts.filter(({ unknown }) => unknown === 'bounce').length;
    }),
    { numRuns: 300 },
  );
  for (const count of Object.values(seen)) expect(count).toBeGreaterThan(50);
});
