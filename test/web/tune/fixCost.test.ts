import { expect, test } from 'vitest';
import type { Press } from '../../../server/engine/base/log.ts';
import { type GuardSettings, runGuard } from '../../../server/engine/detect/guard.ts';
import { findPressMoments, judgePresses } from '../../../server/engine/detect/presses.ts';
import type { Fix } from '../../../server/engine/explain/fixes.ts';
import { intentOf, type PressLabel } from '../../../server/engine/labels/labels.ts';
import { computeSpeedSignals, type SpeedSignals } from '../../../server/engine/motion/signals.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { moreRefusedBy } from '../../../web/panels/tune/fixCost.ts';
import { seededRandom } from '../../seeded.ts';
import { swingingTake } from '../swingingTake.ts';

test('a hold that refuses the stray press of one reversal refuses the wanted one of another, and it is told', () => {
  const { motion } = swingingTake('t');
  const signals = computeSpeedSignals(motion, DEFAULT_CANDIDATE.smoothing);
  const settings = { ...DEFAULT_CANDIDATE.guard, speedDps: 240, holdMs: 0 };
  // At rest, and at two reversals: 400 °/s at most, so 0.205 s of each side of one lie below 240 °/s.
  const presses = [1e6, 4e6, 5e6].map((downUs) => ({ button: 'power', downUs, upUs: downUs + 50_000 }));
  const label = (downUs: number, intent: 'stray' | 'wanted') =>
    ({ downUs, button: 'power', intent, by: 'person' }) as const;
  const labels = { presses: [label(1e6, 'wanted'), label(4e6, 'stray'), label(5e6, 'wanted')] };
  const cost = (holdMs: number) =>
    moreRefusedBy(
      { path: 'guard.holdMs', value: holdMs },
      settings,
      judged(signals, presses, settings),
      presses,
      labels,
    );
  expect([cost(100), cost(300)]).toEqual([0, 1]);
});

test('it is what judging every press anew comes to', () => {
  const { motion } = swingingTake('t');
  const signals = computeSpeedSignals(motion, DEFAULT_CANDIDATE.smoothing);
  const random = seededRandom(7);
  const seen = new Set<number>();
  for (let round = 0; round < 60; ++round) {
    const downs = Array.from({ length: 60 }, () => Math.round(random() * 8.2e6)).sort((a, b) => a - b);
    const presses = downs.map((downUs, k) => {
      return { button: 'power', downUs, upUs: k % 7 === 0 ? null : downUs + Math.round(random() * 9e5) };
    });
    const labels = {
      presses: presses.flatMap(({ downUs }): PressLabel[] => {
        const intent = random() < 0.5 ? 'stray' : 'wanted';
        return random() < 0.2 ? [] : [{ downUs, button: 'power', intent, by: 'person' }];
      }),
    };
    const settings: GuardSettings = {
      ...DEFAULT_CANDIDATE.guard,
      speedDps: 100 + Math.round(random() * 250),
      holdMs: Math.round(random() * 200),
      decideAt: (['press', 'release', 'held'] as const)[round % 3]!,
      debounceMs: round % 2 === 0 ? 0 : 40,
    };
    const fixes: Fix[] = [
      { path: 'guard.holdMs', value: settings.holdMs + 90 },
      { path: 'guard.speedDps', value: Math.round(settings.speedDps / 2) },
      { path: 'guard.releaseRatio', value: 0.4 },
      { path: 'guard.decideAt', value: settings.decideAt === 'press' ? 'release' : 'press' },
    ];
    for (const fix of fixes) {
      const now = judged(signals, presses, settings);
      const changed = { ...settings, [fix.path.slice('guard.'.length)]: fix.value } as GuardSettings;
      const refused = ({ presses: all }: Judged) =>
        all.filter(
          ({ press, accepted }) => accepted === false && intentOf(labels, press)?.intent === 'wanted',
        ).length;
      const more = Math.max(0, refused(judged(signals, presses, changed)) - refused(now));
      expect(moreRefusedBy(fix, settings, now, presses, labels)).toBe(more);
      seen.add(more);
    }
  }
  expect(seen.size).toBeGreaterThan(5);
});

type Judged = Parameters<typeof moreRefusedBy>[2];

/** Sample by sample. */
function judged(signals: SpeedSignals, presses: readonly Press[], settings: GuardSettings): Judged {
  const verdicts = judgePresses(signals, runGuard(signals, settings), presses, settings);
  const moments = findPressMoments(signals, presses, settings);
  return { signals, presses: verdicts, moments } as unknown as Judged;
}
