import { type DeflectionSettings, runDeflection } from '../detect/deflection.ts';
import { type MissReason, missReasons } from '../explain/missedSwings.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { FireAssignment } from '../score/fireAssignment.ts';
import type { Swing } from '../truth/swings.ts';

/** How often each swing fires, and when fires were that belong to none. */
export interface DeflectionVerdicts {
  readonly fires: Int32Array;
  readonly outsideUs: readonly number[];
}

/** A swing that does not deflect just once, or a fire outside any. */
export interface WrongDeflection {
  readonly kind: 'missed' | 'twice' | 'outside';
  /** Peak of the swing, or the fire. */
  readonly atUs: number;
}

/** @param swings  in the order of their peaks. */
export function verdictsOn(
  signals: SpeedSignals,
  swings: readonly Swing[],
  settings: DeflectionSettings,
): DeflectionVerdicts {
  const fireUs = Float64Array.from(runDeflection(signals, settings), (index) => signals.timeUs[index]!);
  const assignment = new FireAssignment(swings);
  assignment.assign(fireUs);
  return { fires: assignment.counts, outsideUs: [...fireUs].filter((us) => !assignment.isInside(us)) };
}

/** All that goes wrong at a setting, in time order. */
export function wrongDeflections(
  signals: SpeedSignals,
  swings: readonly Swing[],
  settings: DeflectionSettings,
): WrongDeflection[] {
  const { fires, outsideUs } = verdictsOn(signals, swings, settings);
  const wrong = swings.flatMap(({ peakUs }, i): WrongDeflection[] =>
    fires[i] === 1 ? [] : [{ kind: fires[i] === 0 ? 'missed' : 'twice', atUs: peakUs }],
  );
  for (const atUs of outsideUs) wrong.push({ kind: 'outside', atUs });
  return wrong.sort((a, b) => a.atUs - b.atUs);
}

/** The same, each missed swing with why it is missed. */
export type ExplainedDeflection = WrongDeflection & { readonly reason: MissReason | null };

export function explainDeflections(
  signals: SpeedSignals,
  swings: readonly Swing[],
  settings: DeflectionSettings,
): ExplainedDeflection[] {
  const wrong = wrongDeflections(signals, swings, settings);
  const missedUs = new Set(wrong.flatMap(({ kind, atUs }) => (kind === 'missed' ? [atUs] : [])));
  const missed = swings.filter(({ peakUs }) => missedUs.has(peakUs));
  const reasons = new Map(
    missReasons(signals, missed, settings).map((reason, i) => [missed[i]!.peakUs, reason]),
  );
  return wrong.map((one) => ({
    ...one,
    reason: one.kind === 'missed' ? (reasons.get(one.atUs) ?? null) : null,
  }));
}
