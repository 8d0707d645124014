import { describe, expect, test } from 'vitest';
import { gestureEvidenceOf } from '../../server/engine/choose/gestures/evidence.ts';
import { sweepGestureTake } from '../../server/engine/choose/gestures/take.ts';
import { simulatedGestures } from '../../server/engine/labels/gesturesSimulated.ts';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { proposeGestures } from '../../server/engine/truth/gesturesProposed.ts';
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
    expect(scores.stab.hit.n).toBe(intoPad);
    expect(scores.impact.hit).toMatchObject({ k: truth.hits.length, n: truth.hits.length });
    expect(scores.stab.hit.k).toBeGreaterThanOrEqual(intoPad - 1);
    expect([scores.stab.falseFires, scores.impact.falseFires]).toEqual([0, 0]);
    // A hit is heard when it comes: within two samples of high-passing, before or after.
    expect(Math.abs(scores.impact.delayMs!.median)).toBeLessThan(5);
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
    expect(scores.stab).toMatchObject({ falseFires: 0, fires: 0 });
    expect(scores.stab.hit.n).toBe(0);
  });
});

test('where only some of the proposed thrusts are confirmed, the rest are counted, and a stab there is false as in Tune', () => {
  const seen = see(demoTake('duellist-thrust-line'));
  const { motion } = seen;
  const proposed = proposeGestures(motion).filter(({ kind }) => kind === 'thrust');
  const gestures = proposed.slice(0, 5).map((one) => ({ ...one, by: 'person' as const }));
  const labels = { ...EMPTY_LABELS, gestures };
  const { signals, truth, gestureScores } = judge(seen, DEFAULT_CANDIDATE, labels);
  const named = { id: 'a', title: 'A', performer: '', leverArmM: 0.1, presses: [] };
  const take = { ...named, motion, signals, labels, truth };
  const evidence = gestureEvidenceOf(take, 'stab', DEFAULT_CANDIDATE);
  expect(evidence).toMatchObject({ gestures: 5, unconfirmed: 0, proposed: proposed.length - 5 });
  const { thrustG, quietBeforeMs } = DEFAULT_CANDIDATE.stab;
  const {
    wrong: { outside },
  } = sweepGestureTake(take, 'stab', DEFAULT_CANDIDATE, {
    xs: [thrustG],
    ys: [quietBeforeMs],
  });
  expect(outside[0]).toBe(gestureScores.stab.falseFires);
  expect(outside[0]).toBe(proposed.length - 5);
});
