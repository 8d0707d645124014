import { MOTION } from '../../../server/engine/choose/motion/motionProblem.ts';
import { suggestOn } from '../../../server/engine/choose/suggest.ts';
import type { GuardGrid } from '../../../server/engine/choose/takeSweep.ts';
import { clopperPearsonInterval } from '../../../server/engine/statistics/clopperPearson.ts';
import type { Interval } from '../../../server/engine/statistics/wilson.ts';
import { seededRandom } from '../../simulate/random.ts';

/** How often intervals hold the share of the population, 0 to 1. */
export interface Coverage {
  /** Over settings at which between 1 in 50 and 49 in 50 of the population go wrong: the least, and the mean. */
  readonly least: number;
  readonly mean: number;
  readonly settings: number;
  /** At the setting that was chosen on the same draw, of spins and of stops. */
  readonly chosenSpins: number;
  readonly chosenStops: number;
}

const PARTS = ['strays', 'wanted'] as const;

/**
 * Draws `count` takes of the pool again and again, gives the exact interval at every setting, and looks whether it holds
 * the pool's own share.
 */
export function coverageOf(pool: readonly GuardGrid[], count: number, draws: number, seed: number): Coverage {
  const random = seededRandom(seed);
  const all = MOTION.sum(pool);
  const truths = PARTS.map((part) => Float64Array.from(all.wrong[part], (k) => k / all.sizes[part]));
  const held = truths.map((shares) => new Float64Array(shares.length));
  const chosen = [0, 0];
  const intervals = new Map<string, Interval>();
  const isHeld = (k: number, n: number, share: number): boolean => {
    const key = `${k}/${n}`;
    const found = intervals.get(key) ?? clopperPearsonInterval(k, n)!;
    intervals.set(key, found);
    return found.low <= share && share <= found.high;
  };
  for (let draw = 0; draw < draws; ++draw) {
    const drawn = MOTION.sum(Array.from({ length: count }, () => pool[Math.floor(random() * pool.length)]!));
    const { cell } = suggestOn(MOTION, drawn);
    PARTS.forEach((part, which) => {
      truths[which]!.forEach((share, at) => {
        if (!isHeld(drawn.wrong[part][at]!, drawn.sizes[part], share)) return;
        held[which]![at]! += 1 / draws;
        if (at === cell) chosen[which]! += 1 / draws;
      });
    });
  }
  const told = truths.flatMap((shares, which) =>
    [...shares].flatMap((share, at) => (share > 0.02 && share < 0.98 ? [held[which]![at]!] : [])),
  );
  return {
    least: Math.min(...told),
    mean: told.reduce((sum, one) => sum + one, 0) / told.length,
    settings: told.length,
    chosenSpins: chosen[0]!,
    chosenStops: chosen[1]!,
  };
}
