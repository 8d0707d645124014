import type { Press, Span } from '../../../server/engine/base/log.ts';
import type { ChoiceTake } from '../../../server/engine/choose/takeSweep.ts';
import type { GuardSettings } from '../../../server/engine/detect/guard.ts';
import type { Intent, Labels } from '../../../server/engine/labels/labels.ts';
import type { Reversal } from '../../../server/engine/truth/reversals.ts';
import type { Swing } from '../../../server/engine/truth/swings.ts';
import { fakeSignals } from '../fakeSignals.ts';
import { drawnSpeed } from '../sweep/drawnSpeed.ts';

export const RATE_HZ = 20;

/** A take of random speeds with gaps and NaN, random presses, labels, spins, swings and reversals. */
export function drawnTake(seed: number, length = 260): ChoiceTake {
  const { speed, trueSpeed, segments, random } = drawnSpeed(seed, length);
  const signals = fakeSignals(
    { swingSpeedDps: speed, trueSpeedDps: trueSpeed },
    { rateHz: RATE_HZ, segments, gapUs: 300_000 },
  );
  const endUs = signals.timeUs.at(-1)!;
  const moment = () => Math.floor(random() * endUs * 1.05);
  const presses: Press[] = Array.from({ length: 14 }, () => {
    const downUs = moment();
    return { button: 'power', downUs, upUs: random() < 0.2 ? null : downUs + 80_000 };
  });
  const span = (): Span => {
    const startUs = moment();
    return { startUs, endUs: startUs + Math.floor(random() * endUs * 0.2) };
  };
  const reversals = Array.from({ length: 8 }, (): Reversal => {
    const index = Math.floor(random() * length);
    const timeUs = signals.timeUs[index]!;
    return { index, timeUs, lowestDps: speed[index]!, turnDeg: 180, peakBefore: 0, peakAfter: length - 1 };
  });
  const swings = Array.from({ length: 5 }, (): Swing => {
    const { startUs, endUs: end } = span();
    return { startUs, endUs: end, peakUs: startUs, peakDps: 500, saturated: false, by: 'program' };
  });
  return {
    id: `take-${seed}`,
    title: `Take ${seed}`,
    performer: seed % 2 === 0 ? 'one' : 'other',
    signals,
    presses,
    labels: labelled(presses, (i) => (['stray', 'wanted', 'unsure'] as const)[i % 3]!),
    truth: { swings, spinning: [span(), span(), span()], reversals },
  };
}

export function labelled(presses: readonly Press[], intentOf: (i: number) => Intent): Labels {
  const of = ({ downUs, button }: Press, i: number) => {
    return { downUs, button, intent: intentOf(i), by: 'person' as const };
  };
  return { presses: presses.map(of), spans: [], swings: [] };
}

export const guard = (change: Partial<GuardSettings> = {}): GuardSettings => ({
  speedDps: 240,
  holdMs: 0,
  releaseRatio: 1,
  decideAt: 'press',
  heldLimitMs: 1000,
  pressLength: 'any',
  longFromMs: 500,
  debounceMs: 0,
  ...change,
});

/** Speeds as drawn: one character a sample, a digit is so many hundreds of deg/s, '?' is NaN. */
export function drawn(text: string): number[] {
  return [...text].map((sign) => (sign === '?' ? Number.NaN : Number(sign) * 100));
}
