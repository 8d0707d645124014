import {
  type Family,
  type FrontPoint,
  paretoFront,
  pointsOf,
  RELEASE_RATIOS,
} from '../../../server/engine/choose/tradeOff.ts';
import type { GuardSweep } from '../../../server/engine/sweep/guardSweep.ts';
import { stepPath } from '../../charts/scale.ts';

/** What is weighed against what: counted presses, or shares of time that need no label. */
export type Weighing = 'presses' | 'time';

const COORDINATES: Readonly<
  Record<Weighing, (sweep: GuardSweep, cell: number) => readonly [number, number]>
> = {
  presses: (sweep, cell) => [sweep.wrong.wanted[cell]!, sweep.wrong.strays[cell]!],
  time: (sweep, cell) => [sweep.timesMs.waitMedianMs[cell]!, sweep.openShare[cell]! * 100],
};

export const FAMILY_WORDS: Readonly<Record<Family, string>> = {
  momentary: 'the speed alone, at the press (no hold)',
  hold: 'speed and hold',
  hysteresis: 'two speeds: one closes, a lower one lets go (no hold)',
  held: 'speed and hold; a press kept down acts once the guard opens',
};

/** The best that each family can do: no setting of it does better in one respect without doing worse in the other. */
export function familyFronts(
  plain: GuardSweep,
  held: GuardSweep,
  hysteresis: readonly GuardSweep[],
  weighing: Weighing,
): Record<Family, FrontPoint[]> {
  const of = COORDINATES[weighing];
  const momentary = pointsOf(plain, 1, of, (holdMs) => holdMs === 0);
  return {
    momentary: paretoFront(momentary),
    hold: paretoFront(pointsOf(plain, 1, of)),
    // How long the guard is closed does not depend on the button.
    held: weighing === 'time' ? [] : paretoFront(pointsOf(held, 1, of)),
    hysteresis: paretoFront([
      ...momentary,
      ...hysteresis.flatMap((sweep, i) => pointsOf(sweep, RELEASE_RATIOS[i]!, of)),
    ]),
  };
}

/** Steps from point to point: between two settings of a front there is no better one. */
export function staircase(
  front: readonly FrontPoint[],
  x: (value: number) => number,
  y: (value: number) => number,
  right: number,
): string {
  const steps = stepPath(
    { x, y },
    front.map((point) => [point.x, point.y]),
  );
  return steps && `${steps}H${right.toFixed(1)}`;
}
