import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, test } from 'vitest';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { type BladePath, computeBladePath, tipAt } from '../../server/engine/motion/bladePath.ts';
import { computeMotion, type Motion } from '../../server/engine/motion/motion.ts';
import { trailOf } from '../../server/engine/replay/trail.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { previewAndRead } from '../../server/ingest/preview/preview.ts';
import { liveScene } from '../../web/live/liveScene.ts';
import { FIRES_A, LiveTrack } from '../../web/live/liveTrack.ts';

const LOG = fileURLToPath(new URL('../../fixtures/spinner-full-routine.csv', import.meta.url));
const CHANNELS = ['gyroXDps', 'gyroYDps', 'gyroZDps', 'accelXG', 'accelYG', 'accelZG'] as const;
/** Gravity is found, and the prop has had a rest to find its gyro's bias at. */
const SETTLED_US = 5e6;
const AWAY_US = 2e6;

let take: Awaited<ReturnType<typeof read>>;

async function read() {
  const bytes = readFileSync(LOG);
  const source = {
    name: 'log.csv',
    sizeBytes: bytes.length,
    open: async function* () {
      yield bytes;
    },
  };
  const { preview, take } = await previewAndRead([source], {}, {});
  const { mount } = preview.mapping;
  const { uniform } = buildTimeBase(take!.log);
  const motion: Motion = computeMotion(uniform, { ...DEFAULT_CALIBRATION, mount });
  const path: BladePath = computeBladePath(motion, DEFAULT_CALIBRATION.leverArmM);
  return { log: take!.log, mount, motion, path };
}

function batchOf(from: number, to: number) {
  const { log } = take;
  const timeUs = [...log.timeUs.subarray(from, to)];
  const zeros = timeUs.map(() => 0);
  return {
    timeUs,
    columns: CHANNELS.map((name) => [...log[name].subarray(from, to)]),
    ...{ power: zeros, deflection: zeros, tellsReleases: true, leftOut: 0 },
  };
}

const newTrack = () =>
  new LiveTrack(
    { rateHz: take.motion.rateHz, mount: take.mount },
    { a: DEFAULT_CANDIDATE, b: DEFAULT_CANDIDATE },
  );

beforeAll(async () => {
  take = await read();
});

describe('the blade in Live', () => {
  test('points as high, and by as much further round, as in the replay of the take, away from gaps', () => {
    const { log, motion, path } = take;
    const track = newTrack();
    let checked = 0;
    for (let from = 0; from < log.timeUs.length; from += 211) {
      track.add(batchOf(from, Math.min(log.timeUs.length, from + 211)));
      const scene = liveScene(track, 'a');
      const index = motion.timeUs.indexOf(track.lastUs);
      const segment = motion.segments.find(({ start, end }) => start <= index && index < end)!;
      const endUs = motion.timeUs[segment.end - 1]!;
      const sinceUs = track.lastUs - motion.timeUs[segment.start]!;
      if (sinceUs < SETTLED_US || endUs - track.lastUs < AWAY_US) continue;
      const [live, replay] = [tipAt(scene.path, scene.index!), tipAt(path, index)];
      ++checked;
      expect(Math.abs(degrees(Math.asin(live[2]!) - Math.asin(replay[2]!)))).toBeLessThan(3);
    }
    expect(checked).toBeGreaterThan(30);
    // The heading means nothing, but within the trail it turns as the blade does.
    const scene = liveScene(track, 'a');
    const last = motion.timeUs.indexOf(track.lastUs);
    const angle = (one: BladePath, i: number, k: number) =>
      degrees(Math.acos(Math.min(1, dot(tipAt(one, i), tipAt(one, k)))));
    for (const back of [40, 120, 250]) {
      const [live, replay] = [
        angle(scene.path as BladePath, scene.index!, scene.index! - back),
        angle(path, last, last - back),
      ];
      expect(Math.abs(live - replay)).toBeLessThan(3);
    }
  });

  test('has a trail of the last second and a half, with deflections and presses where they were', () => {
    const track = newTrack();
    const firesUs: number[] = [];
    const { log } = take;
    for (let i = 0; i < 3600; ++i) {
      const before = track.count;
      track.add({ ...batchOf(i, i + 1), power: [i === 3500 ? 1 : 0] });
      for (let k = before; k < track.count; ++k)
        if ((track.marks[k % track.capacity]! & FIRES_A) !== 0)
          firesUs.push(track.timeUs[k % track.capacity]!);
    }
    const { timeline, marks, index, closed, path } = liveScene(track, 'a');
    const atUs = marks.map((mark) => [mark.kind, timeline.timeUs[mark.index]!]);
    const recent = firesUs.filter((us) => us >= track.lastUs - 1.5e6);
    expect(recent.length).toBeGreaterThan(0);
    expect(atUs.filter(([kind]) => kind === 'deflection').map(([, us]) => us)).toEqual(recent);
    const presses = atUs.filter(([kind]) => kind !== 'deflection');
    expect(presses).toHaveLength(1);
    expect(Math.abs((presses[0]![1] as number) - log.timeUs[3500]!)).toBeLessThan(6000);
    expect(track.lastUs - timeline.timeUs[0]!).toBeLessThanOrEqual(1.5e6);
    expect(trailOf(path, timeline, closed, index!).length).toBeGreaterThan(0);
  });

  test('begins anew behind a gap, fainter until gravity is found; nothing is there before a row has come', () => {
    const track = newTrack();
    expect(liveScene(track, 'a').index).toBeNull();
    track.add(batchOf(0, 1000));
    expect(liveScene(track, 'a').isUnsure).toBe(false);
    const later = batchOf(1000, 1040);
    track.add({ ...later, timeUs: later.timeUs.map((us) => us + 3e6) });
    const scene = liveScene(track, 'a');
    expect([scene.timeline.timeUs.length < 60, scene.isUnsure]).toEqual([true, true]);
    track.add({ ...batchOf(1040, 1400), timeUs: batchOf(1040, 1400).timeUs.map((us) => us + 3e6) });
    expect(liveScene(track, 'a').isUnsure).toBe(false);
  });
});

function degrees(rad: number): number {
  return (rad * 180) / Math.PI;
}

function dot(a: Float64Array, b: Float64Array): number {
  return a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]!;
}
