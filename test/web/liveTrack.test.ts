import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import type { Press } from '../../server/engine/base/log.ts';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { judgePresses } from '../../server/engine/detect/presses.ts';
import { PropDetectors } from '../../server/engine/prop/propDetectors.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { previewAndRead } from '../../server/ingest/preview/preview.ts';
import { CLOSED_A, CLOSED_B, FIRES_A, FIRES_B, LiveTrack } from '../../web/live/liveTrack.ts';
import { fakeSignals } from '../engine/fakeSignals.ts';

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
    power: Array.from(log.timeUs.subarray(from, to), () => 0),
    deflection: null as number[] | null,
    tellsReleases: true,
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
  expect([track.fires.a, track.rows]).toEqual([fires, log.timeUs.length]);
});

/** 1 at each row of a batch at which one of the presses is down. */
const levels = (timeUs: readonly number[], presses: readonly Press[]) =>
  timeUs.map((us) => (presses.some(({ downUs, upUs }) => downUs <= us && us < (upUs ?? Infinity)) ? 1 : 0));

const EVERY_RULE = (['press', 'release', 'held'] as const).flatMap((decideAt) =>
  (['any', 'short', 'long'] as const).map((pressLength) => ({ decideAt, pressLength })),
);

test.each(EVERY_RULE)(
  'a press that acts at $decideAt, $pressLength, has the fate that the whole log gives it',
  async (rule) => {
    const { log, presses, mount } = await demoTake();
    const candidate = { ...B, guard: { ...B.guard, ...rule, longFromMs: 110 } };
    const { uniform } = buildTimeBase(log);
    const { rateHz } = uniform;
    const power = presses.filter(({ button }) => /power/i.test(button));
    const held = power.map((press, k) => ({ ...press, upUs: press.downUs + 60_000 + 30_000 * (k % 5) }));
    const track = new LiveTrack({ rateHz, mount }, { a: A, b: candidate });
    const closed: number[] = [];
    let isLit = true;
    for (let from = 0; from < log.timeUs.length; from += 500) {
      const batch = batchOf(log, from, Math.min(log.timeUs.length, from + 500));
      const before = track.count;
      track.add({ ...batch, power: levels(batch.timeUs, held) });
      for (let i = before; i < track.count; ++i)
        closed.push((track.marks[i % track.capacity]! & CLOSED_B) === 0 ? 0 : 1);
    }
    const grid = fakeSignals({ swingSpeedDps: new Float64Array(closed.length) }, { rateHz });
    const signals = { ...grid, timeUs: uniform.timeUs, segments: uniform.segments };
    const verdicts = judgePresses(signals, Uint8Array.from(closed), held, candidate.guard);
    const fateOf = { true: 'acts', false: 'refused' } as const;
    expect(track.presses.map(({ fates }) => fates.b)).toEqual(
      verdicts.map(({ accepted }) => (accepted === null ? 'open' : fateOf[`${accepted}`])),
    );
    for (const { accepted } of verdicts) if (accepted) isLit = !isLit;
    expect(track.light.b).toBe(isLit ? 'lit' : 'dark');
  },
);

test('a log that says nothing of releases leaves open what rests on them, and the light unknown', async () => {
  const { log, presses, mount } = await demoTake();
  const { rateHz } = buildTimeBase(log).uniform;
  const releases = { ...B, guard: { ...B.guard, decideAt: 'release' as const } };
  const track = new LiveTrack({ rateHz, mount }, { a: A, b: releases });
  const batch = batchOf(log, 0, log.timeUs.length);
  const power = presses.filter(({ button }) => /power/i.test(button));
  track.add({ ...batch, power: levels(batch.timeUs, power), tellsReleases: false });
  expect(new Set(track.presses.map(({ fates }) => fates.b))).toEqual(new Set(['open']));
  expect(new Set(track.presses.map(({ fates }) => fates.a))).toEqual(new Set(['acts', 'refused']));
  expect([track.light.a === 'unknown', track.light.b]).toEqual([false, 'unknown']);
});

test('deflections that wait for a button fire while it is held, and are not known where the log has none', async () => {
  const { log, mount } = await demoTake();
  const { rateHz } = buildTimeBase(log).uniform;
  const held = { ...A, deflection: { ...A.deflection, switchedOn: 'held' as const } };
  const fires = (deflection: number[] | null) => {
    const track = new LiveTrack({ rateHz, mount }, { a: A, b: held });
    track.add({ ...batchOf(log, 0, log.timeUs.length), deflection });
    return [track.fires.a, track.fires.b] as const;
  };
  const [always, all] = fires(Array.from(log.timeUs, () => 1));
  expect(all).toBe(always);
  const half = fires(Array.from(log.timeUs, (us) => (us % 2e6 < 1e6 ? 1 : 0)))[1]!;
  expect(half).toBeGreaterThan(5);
  expect(half).toBeLessThan(always!);
  expect(fires(Array.from(log.timeUs, () => 0))[1]).toBe(0);
  expect(fires(null)).toEqual([always, null]);
});

test('a device that begins its clock anew is shown behind what came before', () => {
  const track = new LiveTrack({ rateHz: 100, mount: DEFAULT_CALIBRATION.mount }, { a: A, b: B });
  const still = (startUs: number, downUs: number) => ({
    timeUs: Array.from({ length: 300 }, (_, i) => startUs + i * 10_000),
    columns: [0, 0, 0, 0, 0, 1].map((value) => Array(300).fill(value)),
    power: Array.from({ length: 300 }, (_, i) => (i * 10_000 === downUs ? 1 : 0)),
    deflection: null,
    tellsReleases: true,
    leftOut: 0,
  });
  track.add(still(7_000_000, -1));
  track.add(still(0, 1_000_000));
  const shown = [...track.timeUs.subarray(0, 600)];
  expect(shown).toEqual([...shown].sort((a, b) => a - b));
  expect(track.presses.map(({ timeUs }) => timeUs)).toEqual([9_990_000 + 100_000 + 1_000_000]);
  expect(track).toMatchObject({ gaps: 1, lostRows: 0, longestRestS: expect.closeTo(3, 1) });
});
