import { describe, expect, test } from 'vitest';
import type { Scratch } from '../../server/engine/base/scratch.ts';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { TakeReader } from '../../web/takes/reader.ts';
import { surroundings, takes } from './sweepTakes.ts';

const { smoothing } = DEFAULT_CANDIDATE;

describe('the reader', () => {
  test('reads a take once while nothing of it changes, and again with another calibration', async () => {
    const asked: string[] = [];
    const { reader } = surroundings({}, asked);
    await reader.read(takes[0]!, smoothing);
    await reader.read(takes[0]!, { ...smoothing, cutoffHz: 10 });
    expect(asked).toEqual(['t1']);
    const calibration = { ...DEFAULT_CALIBRATION, mount: { tip: '+y', side: '-x' } as const };
    await reader.read({ ...takes[0]!, calibration }, smoothing);
    expect(asked).toEqual(['t1', 't1']);
  });

  test('a motion that it keeps is not overwritten by the next take’s', async () => {
    const { reader } = surroundings();
    const { motion } = await reader.read(takes[0]!, smoothing);
    const before = structuredClone(motion);
    await reader.read(takes[1]!, smoothing);
    expect(motion).toEqual(before);
  });

  test('the same smoothing of the same motion gives the same signals', async () => {
    const { reader } = surroundings();
    const motion = await reader.rateMotion(takes[0]!);
    const before = reader.speedSignals(takes[0]!, motion, smoothing);
    expect(reader.speedSignals(takes[0]!, motion, { ...smoothing })).toBe(before);
    expect(reader.speedSignals(takes[0]!, motion, { ...smoothing, cutoffHz: 10 })).not.toBe(before);
    expect((await reader.read(takes[0]!, smoothing)).signals.swingSpeedDps).toBe(before.swingSpeedDps);
  });

  test('a whole motion does for what needs the rates alone, and a log that is kept for both', async () => {
    const asked: string[] = [];
    const { reader } = surroundings({}, asked);
    const whole = await reader.wholeMotion(takes[0]!);
    expect(await reader.rateMotion(takes[0]!)).toBe(whole);
    await reader.log(takes[1]!);
    const { gyroZDps } = await reader.rateMotion(takes[1]!);
    expect((await reader.wholeMotion(takes[1]!)).gyroZDps).toEqual(gyroZDps);
    expect(asked).toEqual(['t1', 't2']);
  });

  test('of takes looked at in passing a short one is kept, a long one is not, nor are its signals', async () => {
    const asked: string[] = [];
    const reader = new TakeReader(async (id) => {
      asked.push(id);
      const length = id === 'long' ? 70_000 : 500;
      const column = (of: (i: number) => number) => Float64Array.from({ length }, (_, i) => of(i));
      const [still, turning] = [column(() => 0), column((i) => 100 * Math.sin(i / 20))];
      const unpack = (scratch: Scratch) => {
        const timeUs = scratch.column('timeUs', length);
        timeUs.set(column((i) => 10_000 * i));
        const gyro = { gyroXDps: still, gyroYDps: still, gyroZDps: turning };
        const log = { timeUs, ...gyro, accelXG: still, accelYG: still, accelZG: still };
        return { log, saturated: new Uint8Array(length) };
      };
      return { isOf: async () => true, unpack };
    });
    for (const id of ['short', 'long', 'short', 'long']) {
      const take = { id, columns: 'read so', calibration: DEFAULT_CALIBRATION };
      const motion = await reader.rateMotion(take, { isPassing: true });
      const { timeUs } = reader.speedSignals(take, motion, smoothing);
      expect([timeUs.length, timeUs.at(-1)]).toEqual(
        id === 'long' ? [70_000, 699_990_000] : [500, 4_990_000],
      );
    }
    expect(asked).toEqual(['short', 'long', 'long']);
  });

  test('a take that is said to come soon is sent for with the one before it, unless it is kept', async () => {
    const asked: string[] = [];
    const { reader } = surroundings({}, asked);
    reader.soon('t2');
    await reader.rateMotion(takes[0]!);
    expect(asked).toEqual(['t1', 't2']);
    await reader.rateMotion(takes[1]!);
    reader.soon('t1');
    await reader.rateMotion(takes[2]!);
    expect(asked).toEqual(['t1', 't2', 't3']);
  });

  test('columns that are read from something else by now answer for no take, sent for ahead or kept', async () => {
    // The server's own, by then.
    let readSo = 'first';
    const asked: string[] = [];
    const { reader: plain } = surroundings();
    const reader = new TakeReader(async (id) => {
      asked.push(id);
      const its = readSo;
      const { raw, saturated } = await plain.readRaw({ id, columns: 'any' });
      return { isOf: async (columns) => columns === its, unpack: () => ({ log: raw, saturated }) };
    });
    const [one, other] = ['t1', 't2'].map((id) => ({
      id,
      columns: 'first',
      calibration: DEFAULT_CALIBRATION,
    }));
    await reader.rateMotion(one!, { nextId: 't2' });
    readSo = 'second';
    // Sent for before that, so it is what is asked for.
    await reader.rateMotion(other!);
    expect(asked).toEqual(['t1', 't2']);
    await expect(reader.log(other!)).rejects.toThrow('read anew');
    // What is kept of the first is none of the second.
    await reader.rateMotion({ ...one!, columns: 'second' });
    await reader.log({ ...other!, columns: 'second' });
    expect(asked.slice(2)).toEqual(['t2', 't1', 't2']);
    reader.soon('t3');
    await reader.readRaw({ ...other!, columns: 'second' });
    readSo = 'third';
    await reader.rateMotion({ ...one!, id: 't3', columns: 'third' });
    expect(asked.slice(5)).toEqual(['t2', 't3', 't3']);
  });

  test('labels count from the next reading on', async () => {
    const { reader } = surroundings();
    const spinning = { startUs: 2_000_000, endUs: 6_000_000, kind: 'spinning', by: 'person' as const };
    const before = await reader.read(takes[0]!, smoothing);
    const labels = { ...takes[0]!.labels, spans: [spinning] };
    const after = await reader.read({ ...takes[0]!, labels }, smoothing);
    expect(before.truth.spinning.length).toBe(3);
    expect(after.truth.spinning.length).toBe(1);
  });
});
