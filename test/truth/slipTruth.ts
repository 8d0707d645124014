import type { SimulatedTake } from '../../scripts/simulate/take.ts';
import type { TrueReversal } from '../../scripts/simulate/truth.ts';
import type { GuardSettings } from '../../server/engine/detect/guard.ts';
import type { SlipCause } from '../../server/engine/explain/causes.ts';

/** What a moment lies in, by the simulation alone. */
export interface SlipTruth {
  /** How fast the blade swings, as the sensor's own low-pass passes it on: no noise, no steps. */
  speedDps(tUs: number): number;
  /** The fastest in a stretch. */
  fastestDps(fromUs: number, toUs: number): number;
  spinAt(tUs: number): { readonly startUs: number; readonly endUs: number } | null;
  /** The turning point between the two swings whose peaks a moment lies between, in one spin. */
  reversalAt(tUs: number): TrueReversal | null;
}

/**
 * @param delayUs  of the sensor's low-pass, which no log can tell: truth is what the blade did so long ago.
 */
export function slipTruth({ fine, truth }: SimulatedTake, delayUs: number): SlipTruth {
  const speed = fine.rate.y.map((y, i) => (Math.sqrt(y * y + fine.rate.z[i]! ** 2) * 180) / Math.PI);
  const at = (tUs: number) =>
    Math.max(0, Math.min(speed.length - 1, Math.round(((tUs - delayUs) * fine.hz) / 1e6)));
  return {
    speedDps: (tUs) => speed[at(tUs)]!,
    fastestDps: (fromUs, toUs) => Math.max(0, ...speed.subarray(at(fromUs), at(toUs) + 1)),
    spinAt: (tUs) =>
      truth.spans.find((s) => s.kind === 'spinning' && s.startUs <= tUs && tUs <= s.endUs) ?? null,
    reversalAt: (tUs) => {
      const k = truth.swings.findIndex(({ peakUs }) => peakUs + delayUs > tUs);
      if (k < 1) return null;
      const [from, to] = [truth.swings[k - 1]!.peakUs, truth.swings[k]!.peakUs];
      return truth.reversals.find(({ timeUs }) => from < timeUs && timeUs < to) ?? null;
    },
  };
}

/** Tremor, noise and steps may put a speed on the other side of a border this near. */
const MARGIN_DPS = 12;
const MARGIN_US = 30_000;
const MARGIN_DEG = 10;

/**
 * The one cause that is true of a press let through at a moment of a sound log, or null where a border is near.
 * @param rowUs  of the row that judges it.
 */
export function trueCause(
  t: SlipTruth,
  tUs: number,
  rowUs: number,
  { speedDps }: GuardSettings,
): SlipCause | null {
  const now = t.speedDps(rowUs);
  if (Math.abs(now - speedDps) < MARGIN_DPS) return null;
  if (now > speedDps) return 'smoothingDelay';
  const spin = t.spinAt(tUs);
  if (spin === null) return 'notSpinning';
  const before = t.fastestDps(spin.startUs, rowUs);
  if (Math.abs(before - speedDps) < MARGIN_DPS) return null;
  const isLater = t.fastestDps(rowUs, spin.endUs) > speedDps;
  if (before < speedDps && isLater) return 'beforeFirstClosing';
  return dipOrSlowPart(t, rowUs);
}

function dipOrSlowPart(t: SlipTruth, tUs: number): SlipCause | null {
  const places = [tUs - MARGIN_US, tUs, tUs + MARGIN_US].map((us) => t.reversalAt(us)?.turnDeg ?? 0);
  if (places.some((turnDeg) => Math.abs(turnDeg - 90) < MARGIN_DEG)) return null;
  if (new Set(places.map((turnDeg) => turnDeg > 90)).size > 1) return null;
  return places[1]! > 90 ? 'reversalDip' : 'slowPart';
}
