import { describe, expect, test } from 'vitest';
import type { MotionLog } from '../../server/engine/base/log.ts';
import { GESTURE_MAPS, withXY } from '../../server/engine/choose/gestures/maps.ts';
import type { GestureLabel } from '../../server/engine/labels/labels.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { runChoiceJob } from '../../web/sweep/choiceJobs.ts';
import type { GestureJob, GestureValue } from '../../web/sweep/jobs.ts';
import { TakeReader } from '../../web/takes/reader.ts';
import { seededNormal } from '../seeded.ts';
import { type Given, input, surroundings } from './sweepTakes.ts';

const RATE_HZ = 100;
/** Seconds at which the blade is twisted by 90°, each in half a second, and at which it swings for as long. */
const TWISTS = [3, 5, 7, 9, 11];
const SWINGS = [4, 6, 8, 10, 12];

/** Rest, then twists and swings in turn. Swings turn the grip by 40°, and in the last of them by more. */
function log(seed: number): MotionLog {
  const noise = seededNormal(seed);
  const length = 15 * RATE_HZ;
  const column = (of: (s: number) => number, rms: number) =>
    Float64Array.from({ length }, (_, i) => of(i / RATE_HZ) + rms * noise());
  const pulse = (starts: readonly number[], peak: number) => (s: number) => {
    const start = starts.find((from) => s >= from && s < from + 0.5);
    return start === undefined ? 0 : peak * Math.sin((Math.PI * (s - start)) / 0.5);
  };
  const [turn, swing] = [pulse(TWISTS, 283), pulse(SWINGS, 100 + seed)];
  return {
    timeUs: Float64Array.from({ length }, (_, i) => i * 10_000),
    gyroXDps: column((s) => turn(s) + 1.26 * swing(s), 0.3),
    gyroYDps: column(() => 0, 0.3),
    gyroZDps: column((s) => swing(s), 0.3),
    accelXG: column(() => 0, 0.003),
    accelYG: column(() => 0, 0.003),
    accelZG: column(() => 1, 0.003),
  };
}

function twists(by: GestureLabel['by'] = 'person'): GestureLabel[] {
  return TWISTS.map((s) => ({ kind: 'twist', startUs: s * 1e6, endUs: (s + 0.5) * 1e6, by }));
}

/** A take with these twists and all its swings labelled. */
function take(id: string, performer: string, gestures: readonly GestureLabel[] = twists()): Given {
  const swings = SWINGS.map((s) => ({
    startUs: s * 1e6,
    peakUs: (s + 0.25) * 1e6,
    endUs: (s + 0.5) * 1e6,
    by: 'person' as const,
  }));
  return { ...input(id, performer), labels: { presses: [], spans: [], swings, gestures } };
}

const takes = [take('t1', 'duellist'), take('t2', 'duellist'), take('t3', 'beginner')];

const job = (given: readonly Given[], change: Partial<GestureJob> = {}): GestureJob => ({
  kind: 'twist',
  takes: given,
  smoothing: DEFAULT_CANDIDATE.smoothing,
  base: DEFAULT_CANDIDATE,
  ...change,
});

async function run(given: readonly Given[], change: Partial<GestureJob> = {}) {
  const reader = new TakeReader(async (id) => {
    const unpack = () => ({ log: log(Number(id.at(-1))), saturated: new Uint8Array(15 * RATE_HZ) });
    return { isOf: async () => true, unpack };
  });
  const { around: whole, told } = surroundings({ reader });
  await runChoiceJob(job(given, change), whole);
  return told as GestureValue[];
}

describe('the sweep of a detector of gestures over takes', () => {
  test('it suggests a turn between that of the twists and that of the swings, and checks it', async () => {
    const { result, grid } = (await run(takes)).at(-1)!;
    expect(grid!.sizes).toMatchObject({ gestures: 15, others: 15 });
    const { choice, byTake, byPerformer, borders, lost, wrong, stress, stressed } = result!;
    if (choice.kind !== 'suggestion') throw new Error('nothing is suggested');
    expect(choice.wrong).toMatchObject({ missed: { k: 0, n: 15 }, again: { k: 0 }, outside: { k: 0 } });
    expect(choice.x).toBeGreaterThan(45);
    expect(choice.x).toBeLessThan(90);
    expect(byTake!.folds.map(({ name }) => name)).toEqual(['T1', 'T2', 'T3']);
    expect(byPerformer!.folds.map(({ name }) => name)).toEqual(['duellist', 'beginner']);
    expect(byTake!.wrong.missed).toEqual({ k: 0, n: 15 });
    expect(stress.map(({ flips, moreFires }) => flips + moreFires)).toEqual([0, 0, 0, 0, 0, 0]);
    expect([wrong, stressed]).toEqual([[], 3]);
    // more turn than the twists have loses them all
    const above = borders.find(({ axis, by }) => axis === 'x' && by === 1)!;
    expect(above.worse.missed).toBeGreaterThan(0);
    expect(lost.filter(({ axis, by, part }) => axis === 'x' && by === 1 && part === 'missed').length).toBe(
      above.worse.missed,
    );
  });

  test('labels that the program made are none, until somebody confirms them', async () => {
    const { result } = (
      await run(takes.map((one) => ({ ...one, labels: { ...one.labels, gestures: twists('program') } })))
    ).at(-1)!;
    expect(result!.choice).toMatchObject({ kind: 'declined', decline: { kind: 'noLabels' } });
    expect([result!.byTake, result!.stress]).toEqual([null, []]);
  });

  test('one take’s twists are too few where only some are labelled, and then nothing is chosen', async () => {
    const { result, grid } = (await run([take('t1', 'duellist', twists().slice(0, 4))])).at(-1)!;
    expect(grid!.sizes.gestures).toBe(4);
    expect(result!.choice).toMatchObject({ kind: 'declined', decline: { kind: 'tooFew' } });
  });

  test('a take whose labels tell nothing is named in the evidence, and neither left out in turn nor checked', async () => {
    const silent = take('t4', 'spinner', []);
    const { result, evidence } = (await run([...takes, silent])).at(-1)!;
    expect(evidence.map(({ outsideS }) => outsideS > 0)).toEqual([true, true, true, false]);
    expect(result!.byTake!.folds.map(({ name }) => name)).toEqual(['T1', 'T2', 'T3']);
    expect(result!.stressed).toBe(3);
  });

  test('the map does not depend on where its own two settings stand', async () => {
    const base = withXY(DEFAULT_CANDIDATE, 'twist', 10, 100);
    const grids = [(await run(takes)).at(-1)!.grid, (await run(takes, { base })).at(-1)!.grid];
    expect(grids[1]).toEqual(grids[0]);
  });

  test.each(GESTURE_MAPS)('%s has a map of its own, under its own kind', async (kind) => {
    const told = await run([takes[0]!], { kind });
    expect(told.every((value) => value.kind === kind)).toBe(true);
    expect(told.at(-1)!.grid!.sizes.gestures).toBe(kind === 'twist' ? 5 : 0);
  });
});
