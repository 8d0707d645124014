import type { Span } from '../base/log.ts';
import type { Signals, SpeedSignals } from '../motion/signals.ts';
import type {
  DeflectionSettings,
  GuardSettings,
  ImpactSettings,
  StabSettings,
  TwistSettings,
} from '../settings/candidate.ts';
import { DeflectionDetector } from './deflection.ts';
import { GuardDetector } from './guard.ts';
import { ImpactDetector } from './impact.ts';
import { StabDetector } from './stab.ts';
import { TwistDial } from './twistDial.ts';
import { TwistTrigger } from './twistTrigger.ts';

/** Each run takes its detector over all samples, with a `reset` at the start of every segment. */

/** 1 at each sample where the guard is closed. `out` (as long as the signals) is filled and returned. */
export function runGuard(
  signals: SpeedSignals,
  settings: GuardSettings,
  out: Uint8Array = new Uint8Array(signals.timeUs.length),
): Uint8Array {
  const guard = new GuardDetector(settings, signals.rateHz);
  const speed = signals.swingSpeedDps;
  for (const { start, end } of signals.segments) {
    guard.reset();
    for (let i = start; i < end; ++i) out[i] = guard.step(speed[i]!) ? 1 : 0;
  }
  return out;
}

/**
 * The stretches of closed samples in time order, none across a gap. A span runs from its first closed sample to the
 * first open one, or, at a segment's end, to one step past the last sample.
 */
export function closedSpans(signals: SpeedSignals, closed: Uint8Array): Span[] {
  const { timeUs, rateHz } = signals;
  const stepUs = 1e6 / rateHz;
  const spans: Span[] = [];
  for (const { start, end } of signals.segments) {
    let from = -1;
    for (let i = start; i <= end; ++i) {
      const isClosed = i < end && closed[i] === 1;
      if (isClosed && from < 0) from = i;
      if (isClosed || from < 0) continue;
      const endUs = i < end ? timeUs[i]! : timeUs[end - 1]! + Math.round(stepUs);
      spans.push({ startUs: timeUs[from]!, endUs });
      from = -1;
    }
  }
  return spans;
}

/** Indices of the samples where a deflection fires. */
export function runDeflection(signals: SpeedSignals, settings: DeflectionSettings): Int32Array {
  const deflection = new DeflectionDetector(settings, signals.rateHz);
  const speed = signals.swingSpeedDps;
  const fires: number[] = [];
  for (const { start, end } of signals.segments) {
    deflection.reset();
    for (let i = start; i < end; ++i) if (deflection.step(speed[i]!)) fires.push(i);
  }
  return Int32Array.from(fires);
}

/** Indices of the samples where an impact fires. */
export function runImpact(signals: Signals, settings: ImpactSettings): Int32Array {
  const impact = new ImpactDetector(settings, signals.rateHz);
  const { impactG, swingSpeedDps } = signals;
  const fires: number[] = [];
  for (const { start, end } of signals.segments) {
    impact.reset();
    for (let i = start; i < end; ++i) if (impact.step(impactG[i]!, swingSpeedDps[i]!)) fires.push(i);
  }
  return Int32Array.from(fires);
}

/** Indices of the samples where a stab fires: those of the hits that end them. */
export function runStab(
  signals: Signals,
  settings: StabSettings,
  impactSettings: ImpactSettings,
): Int32Array {
  const stab = new StabDetector(settings, signals.rateHz);
  const impact = new ImpactDetector(stabHitSettings(settings, impactSettings), signals.rateHz);
  const { thrustG, impactG, swingSpeedDps } = signals;
  const fires: number[] = [];
  for (const { start, end } of signals.segments) {
    stab.reset();
    impact.reset();
    for (let i = start; i < end; ++i) {
      const isImpact = impact.step(impactG[i]!, swingSpeedDps[i]!);
      if (stab.step(thrustG[i]!, swingSpeedDps[i]!, isImpact)) fires.push(i);
    }
  }
  return Int32Array.from(fires);
}

/** How the hit that ends a stab is told. */
export function stabHitSettings({ hitRatio }: StabSettings, impact: ImpactSettings): ImpactSettings {
  return { ...impact, impactG: hitRatio * impact.impactG };
}

/** Indices of the samples where the twist trigger fires. A start of the angle empties its window. */
export function runTwistTrigger(signals: Signals, settings: TwistSettings): Int32Array {
  const trigger = new TwistTrigger(settings, signals.rateHz);
  const { twistDeg, twistStarts, swingSpeedDps } = signals;
  const fires: number[] = [];
  for (const { start, end } of signals.segments) {
    trigger.reset();
    for (let i = start; i < end; ++i) {
      if (twistStarts[i] === 1) trigger.reset();
      if (trigger.step(twistDeg[i]!, swingSpeedDps[i]!)) fires.push(i);
    }
  }
  return Int32Array.from(fires);
}

/** A sample at which the dial moved, and by how many steps. */
export interface DialSteps {
  readonly index: number;
  readonly steps: number;
}

/** Where the dial moved. A start of the angle puts it at 0 again, without a step. */
export function runTwistDial(signals: Signals, settings: TwistSettings): DialSteps[] {
  const dial = new TwistDial(settings, signals.rateHz);
  const { twistDeg, twistStarts } = signals;
  const moves: DialSteps[] = [];
  for (const { start, end } of signals.segments) {
    dial.reset();
    for (let i = start; i < end; ++i) {
      if (twistStarts[i] === 1) dial.reset();
      const steps = dial.step(twistDeg[i]!);
      if (steps !== 0) moves.push({ index: i, steps });
    }
  }
  return moves;
}
