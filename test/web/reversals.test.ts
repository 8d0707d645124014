import { describe, expect, test } from 'vitest';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { sortReversals } from '../../web/panels/reversals/sortReversals.ts';
import type { JobTake, ReversalsValue, TakeInput, TakeReversal } from '../../web/sweep/jobs.ts';
import { runReversalsJob } from '../../web/sweep/reversalsJob.ts';
import { TakeReader } from '../../web/takes/reader.ts';
import { surroundings } from './sweepTakes.ts';

const row = (change: Partial<TakeReversal>): TakeReversal => ({
  takeId: 'a',
  title: 'A',
  timeUs: 0,
  lowestDps: 0,
  turnDeg: 180,
  dipMs: 0,
  holdNeededMs: 0,
  holdNeededSamples: 0,
  rateHz: 100,
  pressesNear: [],
  ...change,
});

describe('sorting reversals', () => {
  const rows = [
    row({ title: 'B', timeUs: 1, holdNeededMs: 30, lowestDps: 5 }),
    row({ title: 'A', timeUs: 9, holdNeededMs: null, dipMs: null, lowestDps: 7 }),
    row({ title: 'A', timeUs: 4, holdNeededMs: 90, lowestDps: 5 }),
    row({ title: 'B', timeUs: 0, holdNeededMs: null, dipMs: null, lowestDps: 2 }),
  ];
  const times = (sorted: readonly TakeReversal[]) => sorted.map(({ title, timeUs }) => `${title}${timeUs}`);

  test('one that no hold helps needs more than any other; equal ones stay by take and time', () => {
    expect(times(sortReversals(rows, 'hold', false))).toEqual(['A9', 'B0', 'A4', 'B1']);
    expect(times(sortReversals(rows, 'hold', true))).toEqual(['B1', 'A4', 'A9', 'B0']);
  });

  test('by take, then time', () => {
    expect(times(sortReversals(rows, 'title', true))).toEqual(['A4', 'A9', 'B0', 'B1']);
  });

  test('by lowest speed, either way', () => {
    expect(times(sortReversals(rows, 'lowest', true))).toEqual(['B0', 'A4', 'B1', 'A9']);
    expect(times(sortReversals(rows, 'lowest', false))).toEqual(['A9', 'A4', 'B1', 'B0']);
  });

  test('leaves the rows given as they are', () => {
    const before = [...rows];
    sortReversals(rows, 'time', true);
    expect(rows).toEqual(before);
  });
});

describe('reversals of several takes', () => {
  // 100 Hz; a sine of 600 deg/s at 1 Hz for 4 s: swings of half a second, seven reversals at every half second
  const length = 800;
  const column = (of: (s: number) => number) => Float64Array.from({ length }, (_, i) => of(i / 100));
  const zero = column(() => 0);
  const log = {
    timeUs: Float64Array.from({ length }, (_, i) => i * 10_000),
    gyroXDps: zero,
    gyroYDps: zero,
    gyroZDps: column((s) => (s >= 2 && s < 6 ? 600 * Math.sin(2 * Math.PI * (s - 2)) : 0)),
    accelXG: zero,
    accelYG: zero,
    accelZG: column(() => 1),
  };
  const press = (downUs: number) => ({ button: 'power', downUs, upUs: downUs + 80_000 });
  const input = (id: string): TakeInput & JobTake => ({
    id,
    revision: 1,
    content: null,
    title: id,
    performer: 'one',
    unfit: null,
    columns: 'read so',
    calibration: DEFAULT_CALIBRATION,
    presses: [press(3_010_000), press(3_250_000), press(7_500_000)],
    allPresses: [],
    deflectionPresses: null,
    labels: {
      presses: [3_010_000, 3_250_000, 7_500_000].map((downUs, i) => ({
        downUs,
        button: 'power',
        intent: i < 2 ? ('stray' as const) : ('wanted' as const),
        by: 'person' as const,
      })),
      spans: [],
      swings: [],
    },
  });

  async function run(guard = DEFAULT_CANDIDATE.guard): Promise<ReversalsValue> {
    const { around, told } = surroundings({
      reader: new TakeReader(async () => ({
        isOf: async () => true,
        unpack: () => ({ log, saturated: new Uint8Array(length) }),
      })),
      input: async (take) => input(take.id),
    });
    await runReversalsJob(
      {
        kind: 'reversals',
        takes: [input('one'), input('two')],
        smoothing: DEFAULT_CANDIDATE.smoothing,
        guard,
      },
      around,
    );
    return told.at(-1) as ReversalsValue;
  }

  test('each take’s rows and slips are there, with the cause and what would have refused the press', async () => {
    const found = await run();
    expect(found.rows.map((one) => one.takeId)).toEqual([...Array(7).fill('one'), ...Array(7).fill('two')]);
    expect(found.strays).toBe(4);
    expect(found.slips.map(({ takeId, downUs }) => `${takeId} ${downUs}`)).toEqual([
      'one 3010000',
      'two 3010000',
    ]);
    expect(found.slips[0]!.explanation.reason.cause).toBe('reversalDip');
    expect(found.slips[0]!.explanation.fixes.map((fix) => fix.path)).toContain('guard.holdMs');
  });

  // |600 sin(2π t)| < 240 for 2 asin(0.4) / 2π = 131 ms; two samples of 10 ms more at most, and a little for smoothing
  test('dips are as wide as the sine says, and the curve holds all of them', async () => {
    const found = await run();
    for (const { dipMs, holdNeededMs } of found.rows) {
      expect(dipMs!).toBeGreaterThan(125);
      expect(dipMs!).toBeLessThan(155);
      expect(holdNeededMs).toBe(dipMs);
    }
    expect(found.curve!.reversals).toBe(14);
    const at240 = found.curve!.speedsDps.indexOf(240);
    expect(found.curve!.maxMs[at240]).toBe(Math.max(...found.rows.map((one) => one.dipMs!)));
  });

  test('the hold that the fix names lets no stray press through', async () => {
    const { slips } = await run();
    const holdMs = Math.max(
      ...slips.map(({ explanation }) =>
        Number(explanation.fixes.find((fix) => fix.path === 'guard.holdMs')!.value),
      ),
    );
    expect((await run({ ...DEFAULT_CANDIDATE.guard, holdMs })).slips).toEqual([]);
  });
});
