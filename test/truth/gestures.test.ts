import { describe, expect, test } from 'vitest';
import { simulatedGestures } from '../../server/engine/truth/gesturesSimulated.ts';
import { demoTake, judge, labelsOf, see } from './simulated.ts';

/** What the default detectors make of a demonstration take whose gestures the simulation labels. */
function scoresOf(name: string) {
  const take = demoTake(name);
  const labels = { ...labelsOf(take), gestures: simulatedGestures(take.truth) };
  return { truth: take.truth, scores: judge(see(take), undefined, labels).gestureScores };
}

describe('gesture scores on takes whose truth is known', () => {
  test('every thrust into the pad and every hit of the thrust line is told, none is false, and the air is no pad', () => {
    const { truth, scores } = scoresOf('duellist-thrust-line');
    const intoPad = truth.thrusts.filter(({ meetsPad }) => meetsPad).length;
    expect(intoPad).toBeLessThan(truth.thrusts.length);
    expect(scores.thrust.hit.n).toBe(intoPad);
    expect(scores.hit.hit).toMatchObject({ k: truth.hits.length, n: truth.hits.length });
    expect(scores.thrust.hit.k).toBeGreaterThanOrEqual(intoPad - 1);
    expect([scores.thrust.falseFires, scores.hit.falseFires]).toEqual([0, 0]);
    // A hit is heard when it comes: within two samples of high-passing, before or after.
    expect(Math.abs(scores.hit.delayMs!.median)).toBeLessThan(5);
  });

  test('of the twists missed, those that never turn as far as the trigger asks are told from those that turn too slowly', () => {
    const { truth, scores } = scoresOf('duellist-twist-dial');
    const small = truth.twists.filter(({ angleDeg }) => Math.abs(angleDeg) < 55).length;
    expect(scores.twist.hit.n).toBe(truth.twists.length);
    expect(small).toBeGreaterThan(0);
    expect(scores.twist.belowLevel).toBe(small);
    expect(scores.twist.missed.k).toBeGreaterThan(small);
  });

  test('no stab is told in a take that only spins, and there it would be false', () => {
    const { scores } = scoresOf('spinner-wall-plane');
    expect(scores.thrust).toMatchObject({ falseFires: 0, fires: 0 });
    expect(scores.thrust.hit.n).toBe(0);
  });
});
