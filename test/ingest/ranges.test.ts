import { describe, expect, test } from 'vitest';
import { factorTo } from '../../server/ingest/ground/units.ts';
import { readNotes } from '../../server/ingest/layout/notes.ts';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { stuckEnd } from '../../server/ingest/units/saturation.ts';
import { G, RAD, textSource } from './logs.ts';
import { type SwungSample, swingTake } from './swingTake.ts';

type Vector = readonly [number, number, number];

/** Swings with three times the pull of the invented prop, so that they pass 2 g. */
const take = swingTake(100).map((s) => ({
  ...s,
  force: s.force.map((value, i) => s.gravity[i]! + 3 * (value - s.gravity[i]!)) as unknown as Vector,
}));
const HEADER = 'time (s),ax,ay,az,gx (dps),gy (dps),gz (dps)\n';
const UNTOLD = 'time (s),ax,ay,az,gx,gy,gz\n';

/** A log of the invented swings, each sensor as it is written. */
function logOf(
  force: (value: number) => string | number,
  rate: (value: number) => string | number,
  samples: readonly SwungSample[] = take,
  header = HEADER,
): string {
  const cells = (vector: Vector, write: (value: number) => string | number) => vector.map(write).join(',');
  return (
    header +
    samples.map((s) => `${s.t.toFixed(3)},${cells(s.force, force)},${cells(s.rate, rate)}\n`).join('')
  );
}

/** Values that are cut at an end, and written with so many decimals. */
const cut = (end: number, scale: number, digits: number) => (value: number) =>
  (Math.min(end, Math.max(-end, value)) * scale).toFixed(digits);

async function unitsOf(text: string) {
  const { mapping, report, needs, ledger } = await previewLog([textSource(text)], {}, {});
  const column = (role: string) => mapping.columns.find((own) => own.role === role)!;
  return {
    accel: column('accelX'),
    gyro: column('gyroX'),
    warnings: report?.warnings.join('\n') ?? null,
    needs: needs.join('\n'),
    entry: (about: RegExp) => ledger.find(({ question }) => about.test(question))!,
  };
}

describe('a full scale of the accelerometer in the lines around a table', () => {
  test.each([
    ['accel range 8 g', 8],
    ['ACC_FS=±16g', 16],
    ['AFS_SEL=2 (8g)', 8],
    ['Accelerometer range set to: +-8G', 8],
    ['accel_range_g: 4', 4],
    ['Accelerometer FSR: 2', 2],
    ['accelerometer full scale ±156.9 m/s²', 16],
    ['range: ±4 g, ±500 °/s', 4],
    ['accel ±4 g, gyro range ±1000 dps', 4],
    ['accelerometer range 16 g, 2048 LSB/g', 16],
    // The number of a setting means another range in another part.
    ['AFS_SEL=2', null],
    ['accel scale factor: 16', null],
    ['gyro range 250 dps', null],
    ['accel sensitivity 0.061 mg/LSB, full range', null],
    ['frequency range 2 g', null],
  ])('%s', (note, rangeG) => {
    expect(readNotes([note]).accelRangeG).toBe(rangeG);
  });

  test('a range that is changed on the way says nothing', () => {
    expect(readNotes(['accel range 8 g', 'accel range 16 g']).accelRangeG).toBeNull();
  });
});

// Codes per g at each range: 16384, 8192, 4096, 2048 for ±2, 4, 8, 16 g (MPU-6000 and BMI160 datasheets).
describe('a stated range of the accelerometer', () => {
  const codesAt = (perG: number) =>
    logOf(
      (value) => Math.min(32_767, Math.max(-32_768, Math.round(value * perG))),
      (value) => value.toFixed(3),
    );

  test.each([
    [2, 16_384],
    [4, 8192],
    [8, 4096],
    [16, 2048],
  ])('±%d g goes with %d codes per g', async (rangeG, perG) => {
    const { accel, warnings, entry } = await unitsOf(`# accel range ${rangeG} g\n${codesAt(perG)}`);
    expect(accel.unit).toBe(`lsb:${perG}`);
    expect(accel.reason).toContain(`at the stated range of ±${rangeG} g`);
    // At ±2 g these swings are clipped, which is said; of the unit nothing is.
    expect(warnings).not.toMatch(/unit|scale of|guess/);
    expect(entry(/unit is the acceleration/).readings[0]!.evidence).toContainEqual({
      text: `the file states a range of ±${rangeG} g: so many codes per g in words of 16 bits`,
      weight: 3,
    });
  });

  // 0.732 mg a code at ±16 g (LSM6DS0), not the 2048 codes per g of other parts.
  test.each([
    ['a part whose words do not span it', 16, 1366],
    ['another range than the rest says', 16, 4096],
    ['a narrower range than the peak', 2, 2048],
  ])('%s is asked about, with what the range would be', async (_name, rangeG, perG) => {
    const { accel, needs } = await unitsOf(`# accel range ${rangeG} g\n${codesAt(perG)}`);
    expect(accel.unit).toBe('');
    expect(needs).toContain('the unit of acceleration is unknown');
    expect(needs).toContain(
      `at the stated range of ±${rangeG} g words of 16 bits read ${32_768 / rangeG} codes per g, but parts differ`,
    );
  });

  test('a stated sensitivity stands beside it', async () => {
    const { accel, needs } = await unitsOf(`# accel range 16 g, 0.732 mg/LSB\n${codesAt(1366.12)}`);
    expect(needs).toBe('');
    expect(factorTo('accel', accel.unit)).toBeCloseTo(0.732e-3, 8);
  });
});

describe('the end at which values are stuck', () => {
  test.each([
    ['g', 1, 4],
    ['m/s2', G, 4],
    ['mg', 1000, 1],
  ])('±2 g in %s', async (unit, scale, digits) => {
    const { accel, entry } = await unitsOf(logOf(cut(2, scale, digits), (value) => value.toFixed(3)));
    expect(accel.unit).toBe(unit);
    expect(accel.reason).toContain('the end of a range of ±2 g');
    expect(entry(/unit is the acceleration/).readings[0]!.evidence).toContainEqual({
      text: `its values stop at ±${Number((2 * scale).toPrecision(6))}, the end of a range of ±2 g`,
      weight: 3,
    });
  });

  // Here nothing turns as gravity does: the size of the rates and the unit of the force decide.
  const still = take.map((s) => ({ ...s, force: [0, 0, 1] as Vector }));
  const fast = (header: string, scale: number) =>
    logOf((value) => (value * scale).toFixed(4), cut(125, RAD, 5), still, header);

  test('rates beside m/s²: in rad/s they stop at a range', async () => {
    const { gyro, entry } = await unitsOf(fast(UNTOLD, G));
    expect(gyro.unit).toBe('rad/s');
    expect(entry(/unit are the rates/).readings[0]!.evidence).toContainEqual({
      text: 'its values stop at ±2.18166, the end of a range of ±125 °/s',
      weight: 3,
    });
  });

  test('rates beside g, which would go with °/s, are asked about where only rad/s explain their end', async () => {
    const { gyro, needs } = await unitsOf(fast(UNTOLD, 1));
    expect(gyro.unit).toBe('');
    expect(needs).toContain(
      'but the rates stop at ±2.18166, which in rad/s is the end of a range of ±125 °/s',
    );
  });

  test('values that only come near a full scale are no end', () => {
    const tops = Float64Array.from(
      { length: 2000 },
      (_, i) => 2.0024 * Math.sin(i / 9) * (1 - 1e-5 * (i % 7)),
    );
    expect(stuckEnd([tops])).toBeNull();
  });
});

describe('what is taken never differs from what weighs most', () => {
  const RESTS = [
    0.08, 0.3, 0.5, 0.62, 0.8, 0.95, 1.05, 1.3, 1.45, 2.2, 5, 6.9, 9.8, 12, 25, 400, 700, 1100, 3000,
  ];
  test.each(RESTS)('at rest %d', async (rest) => {
    for (const digits of [0, 4]) {
      const write = (value: number) => (value * rest).toFixed(digits);
      const { accel, entry } = await unitsOf(logOf(write, (value) => value.toFixed(3)));
      const { readings, outcome, lead, leadNeeded } = entry(/unit is the acceleration/);
      if (outcome === 'asked') {
        expect(accel.unit).toBe('');
        continue;
      }
      expect(readings[0]!.reading.replace('²', '2')).toContain(
        accel.unit.startsWith('lsb:') ? accel.unit.slice(4) : accel.unit,
      );
      if (outcome === 'taken') expect(lead).toBeGreaterThanOrEqual(leadNeeded);
    }
  });
});
