import { describe, expect, test } from 'vitest';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { accel, gyro, rollingTake, rowsOf, SIX, textSource, time } from './logs.ts';

const take = rollingTake(400, 100);
const HEADER = 't_s,gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g';
const whole = `${HEADER}\n${rowsOf(take, [time(), ...SIX])}`;
const accelOnly = `time,z,y,x\n${rowsOf(take, [time(), accel(2), accel(1), accel(0)])}`;
const gyroOnly = `time,z,y,x\n${rowsOf(take, [time(), gyro(2), gyro(1), gyro(0)])}`;
const nameless = rowsOf(take, [time(), ...SIX]);

describe('what each file holds by itself', () => {
  test.each([
    ['a whole log', 'take.csv', whole, { accel: true, gyro: true }],
    ['a whole log without a header', 'take.csv', nameless, { accel: true, gyro: true }],
    ['an accelerometer’s half', 'Accelerometer.csv', accelOnly, { accel: true, gyro: false }],
    ['a gyroscope’s half', 'Gyroscope.csv', gyroOnly, { accel: false, gyro: true }],
  ])('%s', async (_claim, name, text, held) => {
    expect((await previewLog([textSource(text, name)], {}, {})).holds).toEqual([held]);
  });

  test('stays what it is beside other files', async () => {
    const sources = [textSource(accelOnly, 'Accelerometer.csv'), textSource(whole, 'other.csv')];
    const { holds } = await previewLog(sources, {}, {});
    expect(holds).toEqual([
      { accel: true, gyro: false },
      { accel: true, gyro: true },
    ]);
  });
});

describe('columns that may be a button', () => {
  const withExtras = (columns: [string, (i: number) => string | number][]) =>
    `${[HEADER, ...columns.map(([name]) => name)].join(',')}\n${rowsOf(take, [
      time(),
      ...SIX,
      ...columns.map(
        ([, value]) =>
          (_: unknown, i: number) =>
            value(i),
      ),
    ])}`;
  const candidates = async (columns: [string, (i: number) => string | number][]) =>
    (await previewLog([textSource(withExtras(columns))], {}, {})).buttonCandidates;

  test('show two states, or so far only one; those that change come first', async () => {
    const found = await candidates([
      ['idle', () => 0],
      ['extra', (i) => Number(i > 100 && i < 120)],
      ['load', (i) => i % 7],
      ['other', (i) => (i > 50 ? 'on' : 'off')],
    ]);
    expect(found).toEqual([
      { file: 0, index: 8, name: 'extra', changes: true },
      { file: 0, index: 10, name: 'other', changes: true },
      { file: 0, index: 7, name: 'idle', changes: false },
    ]);
  });

  test('show two words, whatever the language; more words, or one, are no states', async () => {
    const found = await candidates([
      ['kontakt', (i) => (i > 100 && i < 120 ? 'zárt' : 'nyitott')],
      ['drill', (i) => ['spin', 'stop', 'parry'][i % 3]!],
      ['device', () => 'left hand'],
    ]);
    expect(found).toEqual([{ file: 0, index: 7, name: 'kontakt', changes: true }]);
  });

  test('are none of those that are taken already', async () => {
    expect(await candidates([['power_button', (i) => Number(i > 100 && i < 120)]])).toEqual([]);
  });
});

describe('axes that are missing', () => {
  const missing = (axes: string) => ({
    roles: (['accelX', 'accelY', 'accelZ'] as const).map((role, axis) => ({
      file: 0,
      index: 4 + axis,
      role: axes.includes('xyz'[axis]!) ? ('ignored' as const) : role,
    })),
  });
  test.each([
    ['y', 'acceleration y was not found: '],
    ['yz', 'acceleration y, z were not found: '],
    ['xyz', 'no columns of acceleration were found: '],
  ])('%s are told in a sentence', async (axes, beginning) => {
    const text = `${HEADER.replace('t_s', 'time_s')}\n${rowsOf(take, [time(), ...SIX])}`;
    const { needs } = await previewLog([textSource(text)], missing(axes), {});
    expect(needs[0]).toMatch(new RegExp(`^${beginning}`));
  });
});
