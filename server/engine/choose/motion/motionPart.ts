import type { GuardSettings } from '../../detect/guard.ts';
import type { ChoiceTake, GuardGrid } from '../takeSweep.ts';
import { sweepMotion } from './motionSweep.ts';
import { type MotionUnits, motionUnits } from './motionUnits.ts';

/** What a take's motion is worth for choosing. */
export interface MotionEvidence {
  readonly id: string;
  readonly title: string;
  readonly performer: string;
  /** Spins and stops as they are counted: confirmed ones, or all proposed ones where none is. */
  readonly spins: number;
  readonly stops: number;
  readonly isConfirmed: boolean;
  /** Proposed by the program, for a person to confirm. */
  readonly waiting: MotionUnits['waiting'];
  /** A sentence if nothing can be chosen on this take's signals. */
  readonly unfit: string | null;
}

/** One take's part of the map as motion alone draws it. */
export interface MotionPart {
  readonly evidence: MotionEvidence;
  readonly grid: GuardGrid;
}

/**
 * The take's map with spins in the place of stray presses and stops in that of wanted ones: a stray press may come at any
 * moment of a spin, a wanted one at any moment from the patience after a stop on. Cost, plateau, margins and all that
 * follows are then those of presses.
 * @param pressed  the same take's map by its presses, over the settings that are tried.
 */
export function motionPart(
  take: ChoiceTake,
  pressed: GuardGrid,
  base: Pick<GuardSettings, 'releaseRatio'>,
  patienceMs: number,
  unfit: string | null,
): MotionPart {
  const { id, title, performer, signals } = take;
  const units = motionUnits(take.truth, take.labels, signals);
  const { releaseRatio } = base;
  const { speedsDps, holdsMs } = pressed;
  const swept = sweepMotion({ signals, units, patienceMs, releaseRatio, speedsDps, holdsMs });
  const { spins, stops, spinsOpen, stopsLate } = swept;
  const { isConfirmed, waiting } = units;
  return {
    evidence: { id, title, performer, spins, stops, isConfirmed, waiting, unfit },
    grid: { ...pressed, strays: spins, wanted: stops, strayLetThrough: spinsOpen, wantedRefused: stopsLate },
  };
}

/** Those that count: fit, and confirmed by somebody; where none is confirmed, all that are fit, to look at only. */
export function countedParts<Part extends { readonly evidence: MotionEvidence }>(
  parts: readonly Part[],
): Part[] {
  const fit = parts.filter(({ evidence }) => evidence.unfit === null);
  const confirmed = fit.filter(({ evidence }) => evidence.isConfirmed);
  return confirmed.length > 0 ? confirmed : fit;
}
