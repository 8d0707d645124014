import { describe, expect, test } from 'vitest';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { codes, FORCES, RATES, rollingTake, rowsOf, type Sample, SIX, textSource, time } from './logs.ts';

const take = rollingTake(900, 100);
const CODES = codes('accel', 2048);
const RATE_CODES = codes('gyro', 16.4);
const half = (s: Sample) => Math.sin((s.t * Math.PI) / 10).toFixed(4);
const otherHalf = (s: Sample) => Math.cos((s.t * Math.PI) / 10).toFixed(4);
const held = (from: number, to: number) => (_: Sample, i: number) => Number(i % 300 >= from && i % 300 < to);

const used = async (text: string) => {
  const { mapping, report, needs } = await previewLog([textSource(text)], {}, {});
  const columns = mapping.columns
    .filter(({ role }) => role !== 'ignored')
    .map(({ role, index, unit }) => `${role}=${index}[${unit}]`);
  return { columns: columns.join(' '), report, needs, mapping, warnings: report?.warnings.join('\n') ?? '' };
};

describe('columns without telling names are told apart by how gravity turns', () => {
  test.each<[string, string, string]>([
    [
      'codes with a temperature between the sensors, as a part sends them in one burst',
      rowsOf(take, [time(1000, 0), ...CODES, (_, i) => 3420 + (i % 5), ...RATE_CODES]),
      'time=0[ms] accelX=1[lsb:2048] accelY=2[lsb:2048] accelZ=3[lsb:2048] gyroX=5[lsb:16.4] gyroY=6[lsb:16.4] gyroZ=7[lsb:16.4]',
    ],
    [
      'a quaternion in front, whose length is 1 as well',
      rowsOf(take, [time(), otherHalf, half, () => 0, () => 0, ...FORCES, ...RATES]),
      'time=0[s] accelX=5[m/s2] accelY=6[m/s2] accelZ=7[m/s2] gyroX=8[rad/s] gyroY=9[rad/s] gyroZ=10[rad/s]',
    ],
    [
      'a button behind',
      rowsOf(take, [time(), ...SIX, held(100, 120)]),
      'time=0[s] gyroX=1[deg/s] gyroY=2[deg/s] gyroZ=3[deg/s] accelX=4[g] accelY=5[g] accelZ=6[g] button=7[level]',
    ],
    [
      'names for acceleration only',
      `t,ax,ay,az,one,two,three\n${rowsOf(take, [time(), ...FORCES, ...RATES])}`,
      'time=0[s] accelX=1[m/s2] accelY=2[m/s2] accelZ=3[m/s2] gyroX=4[rad/s] gyroY=5[rad/s] gyroZ=6[rad/s]',
    ],
    [
      'names for the rates only',
      `t,wx,wy,wz,surge,sway,heave\n${rowsOf(take, [time(), ...RATES, ...FORCES])}`,
      'time=0[s] gyroX=1[rad/s] gyroY=2[rad/s] gyroZ=3[rad/s] accelX=4[m/s2] accelY=5[m/s2] accelZ=6[m/s2]',
    ],
    [
      'p, q and r without a unit',
      `t,p,q,r,ax,ay,az\n${rowsOf(take.slice(0, 200), [time(), ...RATES, ...FORCES])}`,
      'time=0[s] gyroX=1[rad/s] gyroY=2[rad/s] gyroZ=3[rad/s] accelX=4[m/s2] accelY=5[m/s2] accelZ=6[m/s2]',
    ],
  ])('%s', async (_name, text, expected) => {
    const { columns, needs } = await used(text);
    expect(columns).toBe(expected);
    expect(needs).toEqual([]);
  });

  test('a column that does not turn with gravity is not taken for the missing sensor', async () => {
    const noise = (k: number) => (_: Sample, i: number) => Math.sin(i * (0.7 + 0.1 * k)).toFixed(3);
    const { needs } = await used(
      `t,ax,ay,az,one,two,three\n${rowsOf(take, [time(), ...FORCES, noise(0), noise(1), noise(2)])}`,
    );
    expect(needs.join()).toContain('no columns of angular rate were found');
  });

  test('markers of an optical system are no motion sensor', async () => {
    const place = (middle: number, size: number, step: number) => (_: Sample, i: number) =>
      (middle + size * Math.sin(i / step)).toFixed(2);
    const places = [
      place(100, 50, 20),
      place(900, 5, 9),
      place(0, 30, 20),
      place(200, 50, 20),
      place(800, 5, 9),
      place(0, 30, 20),
    ];
    const { report } = await used(
      `frame,time,m1 x,m1 y,m1 z,m2 x,m2 y,m2 z\n${rowsOf(take, [(_, i) => i, time(), ...places])}`,
    );
    expect(report).toBeNull();
  });

  test('p alone is no rate', async () => {
    const { columns } = await used(
      `t,ax,ay,az,wx,wy,wz,p\n${rowsOf(take, [time(), ...FORCES, ...RATES, () => 1013])}`,
    );
    expect(columns).not.toContain('=7[');
  });
});

test('of several sensors alike the first is read, and the others are named', async () => {
  const { columns, warnings } = await used(
    `t,hip_ax,hip_ay,hip_az,hip_gx,hip_gy,hip_gz,grip_ax,grip_ay,grip_az,grip_gx,grip_gy,grip_gz\n${rowsOf(take, [time(), ...FORCES, ...RATES, ...FORCES, ...RATES])}`,
  );
  expect(columns).toContain('accelX=1[m/s2]');
  expect(warnings).toContain('several sensors hold acceleration: "hip" is read, "grip" left alone');
});

describe('buttons', () => {
  const withButton = (name: string, cell: (s: Sample, i: number) => string | number) =>
    used(`t,gx,gy,gz,ax,ay,az,${name}\n${rowsOf(take, [time(), ...SIX, cell])}`);
  const counts = async (name: string, cell: (s: Sample, i: number) => string | number) =>
    (await withButton(name, cell))
      .report!.presses.map(({ button, count }) => `${button} ${count}`)
      .join(', ');

  test('bits of one number, one button pressed while the other is held', async () => {
    const both = (s: Sample, i: number) => held(100, 160)(s, i) + 4 * held(120, 180)(s, i);
    expect(await counts('buttons', both)).toBe('buttons 3, buttons 4 3');
  });
  test('numbers of buttons that are never down together are no bits', async () => {
    const one = (_: Sample, i: number) => (i % 300 < 100 || i % 300 >= 120 ? 0 : 1 + Math.floor(i / 300));
    expect(await counts('button', one)).toBe('button 1, button 2 1, button 3 1');
  });
  test('states written as 0.0 and 1.0', async () => {
    expect(await counts('button', (s, i) => held(100, 120)(s, i).toFixed(1))).toBe('button 3');
  });
  test('states written as 0,0 and 1,0', async () => {
    const cells = [time(), ...SIX, (s: Sample, i: number) => held(100, 120)(s, i).toFixed(1)];
    const text = `t;gx;gy;gz;ax;ay;az;button\n${rowsOf(take, cells, ';').replaceAll('.', ',')}`;
    expect((await used(text)).report!.presses).toEqual([{ button: 'button', count: 3 }]);
  });
  test('a click without a release', async () => {
    expect(await counts('event', (_, i) => (i % 300 === 100 ? 'click' : ''))).toBe('event 3');
  });
  test('a voltage near one of two levels is a button with a threshold', async () => {
    const { report, mapping } = await withButton(
      'button',
      (s, i) => 3 + (i % 5) + 1010 * held(100, 120)(s, i),
    );
    expect(report!.presses).toEqual([{ button: 'button', count: 3 }]);
    expect(mapping.columns[7]!.unit).toMatch(/^above:5\d\d$/);
  });
});
