import type { Segment } from '../../../server/engine/base/log.ts';
import type { GestureKind, GestureLabel, LabelBy, Labels } from '../../../server/engine/labels/labels.ts';
import type { Signals } from '../../../server/engine/motion/signals.ts';
import { seededRandom } from '../../seeded.ts';
import { fakeSignals } from '../fakeSignals.ts';
import { drawnSpeed } from './drawnSpeed.ts';

export const RATE_HZ = 50;

/**
 * Random speeds, pushes along the blade, blows and turns, in steps so coarse that levels are often just met; with gaps,
 * NaN and new starts of the angle; and labelled gestures of all kinds at some of them, some inside others.
 */
export function drawnGestures(
  seed: number,
  length = 400,
): { readonly signals: Signals; readonly labels: Labels; readonly segments: readonly Segment[] } {
  const { speed, trueSpeed, segments, random } = drawnSpeed(seed, length);
  const dice = seededRandom(seed + 7);
  const hole = (value: number) => (dice() < 0.01 ? Number.NaN : value);
  const signals = fakeSignals(
    {
      swingSpeedDps: speed.map((dps) => Math.round(dps / 25) * 25),
      trueSpeedDps: trueSpeed,
      thrustG: pulses(length, dice, 0.06, 12).map((g) => hole(Math.round(4 * g) / 4)),
      impactG: pulses(length, dice, 0.12, 3).map((g) => hole(Math.round(4 * g) / 4)),
      twistDeg: walk(length, dice).map(hole),
    },
    {
      rateHz: RATE_HZ,
      segments,
      gapUs: 300_000,
      twistStarts: Array.from({ length }, (_, i) => i).filter(() => dice() < 0.01),
    },
  );
  return { signals, labels: drawnLabels(signals, random, ['person', 'person', 'program']), segments };
}

/** Random gestures, some on top of others. */
function drawnLabels({ timeUs }: Signals, random: () => number, makers: readonly LabelBy[]): Labels {
  const gestures = Array.from({ length: 14 }, (_, i): GestureLabel => {
    const startUs = Math.floor(random() * timeUs.at(-1)!);
    const endUs = startUs + Math.floor(random() * 400_000);
    const kind = (['thrust', 'hit', 'twist'] as const satisfies GestureKind[])[i % 3]!;
    return { kind, startUs, endUs, by: makers[Math.floor(random() * makers.length)]! };
  });
  return { presses: [], spans: [], swings: [], gestures };
}

/** Half sines of random height at random moments. */
function pulses(length: number, dice: () => number, share: number, longest: number): number[] {
  const out = new Array<number>(length).fill(0);
  for (let i = 0; i < length; ++i) {
    if (dice() > share) continue;
    const [height, width] = [dice() * 4, 1 + Math.floor(dice() * longest)];
    for (let k = 0; k < width && i + k < length; ++k)
      out[i + k] = Math.max(out[i + k]!, height * Math.sin((Math.PI * (k + 1)) / (width + 1)));
  }
  return out;
}

/** An angle that rests, then turns, in whole degrees. */
function walk(length: number, dice: () => number): number[] {
  let [angle, rate] = [0, 0];
  return Array.from({ length }, () => {
    if (dice() < 0.08) rate = dice() < 0.4 ? 0 : Math.round((dice() - 0.5) * 30);
    angle += rate;
    return angle;
  });
}
