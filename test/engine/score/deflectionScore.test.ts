import { describe, expect, test } from 'vitest';
import type { LabelBy } from '../../../server/engine/labels/labels.ts';
import { scoreDeflection } from '../../../server/engine/score/deflectionScore.ts';
import { FireAssignment } from '../../../server/engine/score/fireAssignment.ts';
import { matchWindows } from '../../../server/engine/score/match.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import type { Swing } from '../../../server/engine/truth/swings.ts';
import { fakeSignals } from '../fakeSignals.ts';
import { fc } from '../properties.ts';

const RATE_HZ = 100;
const signals = fakeSignals({ swingSpeedDps: new Array(300).fill(0) }, { rateHz: RATE_HZ });
const swing = (startMs: number, peakMs: number, endMs: number, by: LabelBy = 'program'): Swing => ({
  startUs: startMs * 1000,
  peakUs: peakMs * 1000,
  endUs: endMs * 1000,
  peakDps: 500,
  saturated: false,
  by,
});
const score = (swings: Swing[], firesMs: number[]) =>
  scoreDeflection({
    signals,
    swings,
    fires: Int32Array.from(firesMs, (ms) => ms / 10),
    settings: DEFAULT_CANDIDATE.deflection,
  })!;

/** Two swings with a reversal between them, and one on its own. */
const three = [swing(100, 250, 400), swing(400, 550, 700), swing(1500, 1700, 1900)];

describe('scoreDeflection', () => {
  test.each<[string, number[], number, number, number, number]>([
    // fires, once, missed, twice, outside
    ['one fire a swing', [200, 500, 1600], 3, 0, 0, 0],
    ['no fire at all', [], 0, 3, 0, 0],
    ['two fires in a swing', [200, 300, 500, 1600], 2, 0, 1, 0],
    ['three fires in a swing are one double', [1550, 1650, 1750], 0, 2, 1, 0],
    ['a fire where nothing swings', [200, 500, 1200, 1600], 3, 0, 0, 1],
    ['a late fire goes to the swing just ended, if the next has its own', [410, 560, 1600], 3, 0, 0, 0],
    ['a lone fire just after a reversal belongs to the swing with the nearer peak', [480], 1, 2, 0, 0],
    ['100 ms after the end still counts', [1900 + 100], 1, 2, 0, 0],
    ['one sample later counts no more', [1900 + 110], 0, 3, 0, 1],
    ['just before a swing starts', [1490], 0, 3, 0, 1],
    ['at the very start of a swing', [1500], 1, 2, 0, 0],
  ])('%s', (_name, fires, once, missed, twice, outside) => {
    const found = score(three, fires);
    expect([found.once.k, found.missed.k, found.twice.k, found.outside]).toEqual([
      once,
      missed,
      twice,
      outside,
    ]);
    expect(found.once.k + found.missed.k + found.twice.k).toBe(found.swings);
  });

  test('delay counts from the start of the swing, lead to its peak, from the first fire', () => {
    const found = score([swing(100, 250, 400)], [180, 300]);
    expect(found.delayMs).toEqual({ median: 80, p95: 80, n: 1 });
    expect(found.leadMs).toEqual({ median: 70, p95: 70, n: 1 });
  });

  test('a fire after the peak has a negative lead', () => {
    expect(score([swing(100, 250, 400)], [300]).leadMs?.median).toBe(-50);
  });

  test('without swings there is nothing to share, and every fire is outside', () => {
    const found = score([], [100, 200]);
    expect(found).toMatchObject({ swings: 0, outside: 2, delayMs: null, leadMs: null });
    expect(found.once.interval).toBe(null);
  });

  test('says how many swings rest on whose labels', () => {
    const found = score([swing(100, 250, 400, 'person'), swing(400, 550, 700)], [200]);
    expect(found.missed).toMatchObject({ k: 1, n: 2, byPerson: 1, byProgram: 1 });
  });

  test('labels that lie inside one another are no error', () => {
    const found = score([swing(200, 220, 260), swing(100, 250, 400)], [210, 230]);
    expect(found.once.k).toBe(2);
  });

  test('fires of the outer of two swings alone are none of the one inside it', () => {
    // the inner one's window ends at 360 ms
    const found = score([swing(200, 220, 260), swing(100, 250, 400)], [120, 390, 430]);
    expect([found.once.k, found.missed.k, found.twice.k, found.outside]).toEqual([0, 1, 1, 0]);
  });

  test('fires left over go to the last swing that holds them, however the swings lie in one another', () => {
    const lengths = fc.tuple(fc.nat(1500), fc.nat(400), fc.nat(400)).map(([startMs, to, on]) => {
      return swing(startMs, startMs + to, startMs + to + on);
    });
    const drawn = fc.array(lengths, { maxLength: 6 }).map((all) => all.sort((a, b) => a.peakUs - b.peakUs));
    fc.assert(
      fc.property(drawn, fc.array(fc.nat(2600), { maxLength: 12 }), (swings, firesMs) => {
        const fires = Float64Array.from(
          firesMs.sort((a, b) => a - b),
          (ms) => ms * 1000,
        );
        const assignment = new FireAssignment(swings);
        assignment.assign(fires);
        const windows = swings.map(({ startUs, peakUs, endUs }) => {
          return { fromUs: startUs, toUs: endUs + 100_000, atUs: peakUs };
        });
        const pairs = matchWindows(windows, fires);
        const owners = [...fires].map((us, det) => {
          const pair = pairs.find((one) => one.det === det);
          return pair ? pair.ref : windows.findLastIndex(({ fromUs, toUs }) => fromUs <= us && us <= toUs);
        });
        expect(assignment.outside).toBe(owners.filter((owner) => owner === -1).length);
        swings.forEach((_, i) => {
          expect(assignment.counts[i]).toBe(owners.filter((owner) => owner === i).length);
          if (owners.includes(i)) expect(assignment.firstUs[i]).toBe(fires[owners.indexOf(i)]);
        });
      }),
      { numRuns: 300 },
    );
  });

  test('fires of one run leave nothing behind for the next', () => {
    const assignment = new FireAssignment(three);
    assignment.assign(Float64Array.of(250_000));
    assignment.assign(Float64Array.of(1_200_000));
    expect([...assignment.counts, assignment.outside]).toEqual([0, 0, 0, 1]);
  });
});
