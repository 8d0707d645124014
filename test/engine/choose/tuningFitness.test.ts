import { expect, test } from 'vitest';
import type { CheckLine } from '../../../server/engine/check/checkSignals.ts';
import { evidenceOf } from '../../../server/engine/choose/evidence.ts';
import { tuningFitness } from '../../../server/engine/choose/tuningFitness.ts';
import type { Unfit } from '../../../server/engine/choose/unfit.ts';
import { unfitText } from '../../../server/engine/words/choose/unfit.ts';
import { fakeSignals } from '../fakeSignals.ts';
import { drawnTake, guard } from './drawnTake.ts';

const motion = (rateHz: number, speed: number[] = [0, 300, 0, 0]) => {
  const { timeUs, swingSpeedDps } = fakeSignals({ swingSpeedDps: speed }, { rateHz });
  return { rateHz, timeUs, trueSpeedDps: swingSpeedDps };
};
const pass: CheckLine = { id: 'rate', state: 'pass', rateHz: 200 };
const caution: CheckLine = { id: 'spikes', state: 'caution', rateHz: 200, spikesUs: [1e6] };
const dead: CheckLine = { id: 'channels', state: 'fail', constant: [], stuck: [] };

test.each<[string, readonly CheckLine[], ReturnType<typeof motion>, string | null]>([
  ['sound signals', [pass, caution], motion(200), null],
  [
    'lines that fail',
    [pass, { id: 'rate', state: 'fail', rateHz: 10 }, dead],
    motion(200),
    'the signal check fails it on sample rate, stuck channels',
  ],
  [
    'a low rate',
    [pass],
    motion(25),
    'at 25 Hz a reversal is over between two samples; record at 100 Hz or more',
  ],
  [
    'rates that are missing',
    [pass],
    motion(200, [Number.NaN, Number.NaN, 300]),
    'most of its rotation rates are missing',
  ],
  // It may hold thrusts and twists: what it lacks is told where swings are asked for.
  ['no swing', [pass], motion(200, [0, 9, 0]), null],
])('%s', (_name, lines, seen, why) => {
  const unfit = tuningFitness({ lines }, seen);
  expect(unfit && unfitText(unfit)).toBe(why);
});

test('what is given with a take is the judgement; a swing it must hold in any case', () => {
  const take = drawnTake(1);
  const unfitOf = (unfit: Unfit | null, signals = take.signals) =>
    evidenceOf({ ...take, signals, unfit }, guard()).unfit;
  const failed: Unfit = { kind: 'check', failed: ['gaps'] };
  expect(unfitOf(failed)).toBe(failed);
  expect(unfitOf(null)).toBe(null);
  const slowRate = fakeSignals({ swingSpeedDps: [0, 300, 0] }, { rateHz: 25 });
  expect(unfitOf(null, slowRate)).toBe(null);
  expect(unfitOf(null, fakeSignals({ swingSpeedDps: [0, 9, 0] }))).toEqual({
    kind: 'noSwing',
    fastestDps: 9,
  });
});
