import { expect, test } from 'vitest';
import { runGuard } from '../../../server/engine/detect/guard.ts';
import { judgePresses } from '../../../server/engine/detect/presses.ts';
import { computeSpeedSignals } from '../../../server/engine/motion/signals.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { moreRefusedBy } from '../../../web/panels/tune/fixCost.ts';
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
  const verdicts = judgePresses(signals, runGuard(signals, settings), presses, settings);
  const cost = (holdMs: number) =>
    moreRefusedBy({ path: 'guard.holdMs', value: holdMs }, settings, signals, verdicts, presses, labels);
  expect([cost(100), cost(300)]).toEqual([0, 1]);
});
