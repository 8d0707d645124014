import type { SmoothingSettings } from '../../filter/smoothing.ts';
import { confirmedGestures } from '../../labels/confirmedGestures.ts';
import { computeSignals } from '../../motion/signals.ts';
import { isMore } from '../leaveOut.ts';
import { type GestureBase, type GestureMapKind, gestureMap } from './maps.ts';
import { GESTURE_STRESSES, type GestureStressName, motionsUnder } from './stressMotions.ts';
import { type GestureTake, saysNothing } from './take.ts';
import { gestureVerdicts } from './verdicts.ts';

/** The gestures' verdicts under one stress: of its variants the worst on this take. */
export interface GestureStress {
  readonly name: GestureStressName;
  readonly missed: number;
  readonly again: number;
  readonly outside: number;
  /** Gestures that fire as recorded and not under the stress, or the other way round. */
  readonly flips: number;
  /** Fires again and outside beyond those that there are without the stress. */
  readonly moreFires: number;
}

/** Judges a take's confirmed gestures again under every stress, with the same setting; nothing where its labels tell nothing. */
export function stressGestures(
  take: GestureTake,
  kind: GestureMapKind,
  smoothing: SmoothingSettings,
  base: GestureBase,
): GestureStress[] {
  const { motion, labels, presses, leverArmM } = take;
  if (saysNothing(confirmedGestures(labels, gestureMap(kind).gesture))) return [];
  const usual = gestureVerdicts(take, kind, base);
  const hit = new Set(usual.hitUs);
  const usualFires = usual.againUs.length + usual.outsideUs.length;
  const candidate = { ...base, smoothing };
  const underOne = (name: GestureStressName, signals: GestureTake['signals']): GestureStress => {
    const found = gestureVerdicts({ signals, labels }, kind, base);
    const [again, outside] = [found.againUs.length, found.outsideUs.length];
    const lost = found.missedUs.filter((us) => hit.has(us)).length;
    const won = found.hitUs.filter((us) => !hit.has(us)).length;
    const moreFires = Math.max(0, again + outside - usualFires);
    return { name, missed: found.missedUs.length, again, outside, flips: lost + won, moreFires };
  };
  return GESTURE_STRESSES[kind].map((name) =>
    motionsUnder(name, motion, leverArmM)
      .map((stressed) => underOne(name, computeSignals(stressed(), candidate, presses)))
      .reduce((worst, result) => (isMore(badness(result), badness(worst)) ? result : worst)),
  );
}

function badness({ missed, again, outside, flips }: GestureStress): readonly number[] {
  return [missed + again + outside, flips];
}

/** Several takes' results as one, stress by stress. */
export function sumGestureStress(
  kind: GestureMapKind,
  results: readonly (readonly GestureStress[])[],
): GestureStress[] {
  return GESTURE_STRESSES[kind].map((name) => {
    const own = results.flatMap((one) => one.filter((result) => result.name === name));
    const total = (of: (one: GestureStress) => number) => own.reduce((sum, one) => sum + of(one), 0);
    return {
      name,
      missed: total(({ missed }) => missed),
      again: total(({ again }) => again),
      outside: total(({ outside }) => outside),
      flips: total(({ flips }) => flips),
      moreFires: total(({ moreFires }) => moreFires),
    };
  });
}
