import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { PropDetectors } from '../../server/engine/prop/propDetectors.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { previewAndRead } from '../../server/ingest/preview/preview.ts';
import { CLOSED_A, CLOSED_B, FIRES_A, FIRES_B, LiveTrack } from '../../web/live/liveTrack.ts';

const A = DEFAULT_CANDIDATE;
const B = { ...A, guard: { ...A.guard, speedDps: 150, holdMs: 120 } };
const LOG = fileURLToPath(new URL('../../fixtures/spinner-full-routine.csv', import.meta.url));
const CHANNELS = ['gyroXDps', 'gyroYDps', 'gyroZDps', 'accelXG', 'accelYG', 'accelZG'] as const;

async function demoTake() {
  const bytes = readFileSync(LOG);
  const source = {
    name: 'log.csv',
    sizeBytes: bytes.length,
    open: async function* () {
      yield bytes;
    },
  };
  const { preview, take } = await previewAndRead([source], {}, {});
  return { log: take!.log, presses: take!.presses, mount: preview.mapping.mount };
}

function batchOf(log: Awaited<ReturnType<typeof demoTake>>['log'], from: number, to: number) {
  return {
    timeUs: [...log.timeUs.subarray(from, to)],
    columns: CHANNELS.map((name) => [...log[name].subarray(from, to)]),
    downsUs: [] as number[],
    leftOut: 0,
  };
}

test('guard and deflection are those of the prop’s own code on the whole log, sample by sample', async () => {
  const { log, mount } = await demoTake();
  const { uniform } = buildTimeBase(log);
  const { rateHz, segments } = uniform;
  const track = new LiveTrack({ rateHz, mount }, { a: A, b: B });
  const seen: number[] = [];
  for (let from = 0; from < log.timeUs.length; from += 37) {
    const before = track.count;
    track.add(batchOf(log, from, Math.min(log.timeUs.length, from + 37)));
    for (let i = before; i < track.count; ++i) seen.push(track.marks[i % track.capacity]!);
  }
  const props = [A, B].map(
    (candidate) => new PropDetectors(candidate, { ...DEFAULT_CALIBRATION, mount }, rateHz, true),
  );
  const wanted: number[] = [];
  let fires = 0;
  for (const { start, end } of segments) {
    for (const prop of props) prop.reset();
    for (let i = start; i < end; ++i) {
      const [gx, gy, gz, ax, ay, az] = CHANNELS.map((name) => uniform[name][i]!);
      for (const prop of props) prop.step(gx!, gy!, gz!, ax!, ay!, az!, false);
      const [a, b] = props as [PropDetectors, PropDetectors];
      wanted.push(
        (a.isGuardClosed ? CLOSED_A : 0) |
          (b.isGuardClosed ? CLOSED_B : 0) |
          (a.deflects ? FIRES_A : 0) |
          (b.deflects ? FIRES_B : 0),
      );
      if (a.deflects) ++fires;
    }
  }
  const decided = CLOSED_A | CLOSED_B | FIRES_A | FIRES_B;
  expect(seen.map((marks) => marks & decided)).toEqual(wanted);
  expect(fires).toBeGreaterThan(10);
  expect([track.firesA, track.rows]).toEqual([fires, log.timeUs.length]);
});

test('a press meets the guard as it is then; one that acts when it is let go is left to the take', async () => {
  const { log, presses, mount } = await demoTake();
  const releases = { ...B, guard: { ...B.guard, decideAt: 'release' as const } };
  const { rateHz } = buildTimeBase(log).uniform;
  const track = new LiveTrack({ rateHz, mount }, { a: A, b: releases });
  const samples: (readonly [timeUs: number, isClosed: boolean])[] = [];
  for (let from = 0; from < log.timeUs.length; from += 500) {
    const batch = batchOf(log, from, Math.min(log.timeUs.length, from + 500));
    const isIn = ({ downUs }: { downUs: number }) =>
      downUs >= batch.timeUs[0]! && downUs <= batch.timeUs.at(-1)!;
    const before = track.count;
    track.add({ ...batch, downsUs: presses.filter(isIn).map(({ downUs }) => downUs) });
    for (let i = before; i < track.count; ++i) {
      const at = i % track.capacity;
      samples.push([track.timeUs[at]!, (track.marks[at]! & CLOSED_A) !== 0]);
    }
  }
  expect(track.presses.length).toBe(presses.length);
  for (const { timeUs, isRefusedByA, isRefusedByB } of track.presses) {
    const [, isClosed] = samples.findLast(([sampleUs]) => sampleUs <= timeUs)!;
    expect([isRefusedByA, isRefusedByB]).toEqual([isClosed, null]);
  }
  expect(new Set(track.presses.map(({ isRefusedByA }) => isRefusedByA)).size).toBe(2);
});

test('a device that begins its clock anew is shown behind what came before', () => {
  const track = new LiveTrack({ rateHz: 100, mount: DEFAULT_CALIBRATION.mount }, { a: A, b: B });
  const still = (startUs: number, downsUs: number[]) => ({
    timeUs: Array.from({ length: 300 }, (_, i) => startUs + i * 10_000),
    columns: [0, 0, 0, 0, 0, 1].map((value) => Array(300).fill(value)),
    downsUs,
    leftOut: 0,
  });
  track.add(still(7_000_000, []));
  track.add(still(0, [1_000_000]));
  const shown = [...track.timeUs.subarray(0, 600)];
  expect(shown).toEqual([...shown].sort((a, b) => a - b));
  expect(track.presses.map(({ timeUs }) => timeUs)).toEqual([9_990_000 + 100_000 + 1_000_000]);
  expect(track).toMatchObject({ gaps: 1, lostRows: 0, longestRestS: expect.closeTo(3, 1) });
});
