import { describe, expect, test } from 'vitest';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { readTake } from '../../server/ingest/take/readTake.ts';
import { accel, G, gyro, RAD, rollingTake, type Sample, textSource, time } from './logs.ts';

const take = rollingTake(900, 100);
const [ax, ay, az] = [accel(0), accel(1), accel(2)];
const [gx, gy, gz] = [gyro(0), gyro(1), gyro(2)];
const ms = time(1000, 0);
const lines = (line: (s: Sample, i: number) => string, lineEnd = '\n') =>
  `${take.map(line).join(lineEnd)}${lineEnd}`;
const clockTime = (s: Sample) => `12:00:${s.t.toFixed(3).padStart(6, '0')}`;
const hex = (value: number) => `0x${((Math.round(value) + 65_536) % 65_536).toString(16).padStart(4, '0')}`;
const labelled = (s: Sample) =>
  `t:${ms(s)},ax:${ax(s)},ay:${ay(s)},az:${az(s)},gx:${gx(s)},gy:${gy(s)},gz:${gz(s)}`;
const bySensor = (
  tag: (sensor: 'acc' | 'gyr') => string,
  order: (t: string, tag: string, v: string) => string,
) =>
  take
    .flatMap((s) => [
      order(ms(s), tag('acc'), [0, 1, 2].map((k) => accel(k as 0 | 1 | 2, G)(s)).join(',')),
      order(ms(s), tag('gyr'), [0, 1, 2].map((k) => gyro(k as 0 | 1 | 2, RAD, 6)(s)).join(',')),
    ])
    .join('\n');
const german = (value: string) => value.replace('.', ',');
const pointed = (value: string) => value.replace(/\B(?=(\d{3})+$)/g, '.');

const LAYOUTS: readonly (readonly [string, string])[] = [
  ['cells that name themselves', lines(labelled)],
  ['the same with CRLF', lines(labelled, '\r\n')],
  [
    'names and equals signs between blanks',
    lines((s) => `t=${ms(s)} aX=${ax(s)} aY=${ay(s)} aZ=${az(s)} gX=${gx(s)} gY=${gy(s)} gZ=${gz(s)}`),
  ],
  [
    'prose with units, the sensor named once, a stamp in front',
    lines(
      (s) =>
        `${clockTime(s)} -> Accel X: ${accel(0, G)(s)}, Y: ${accel(1, G)(s)}, Z: ${accel(2, G)(s)} m/s^2 Gyro X: ${gyro(0, RAD, 6)(s)}, Y: ${gyro(1, RAD, 6)(s)}, Z: ${gyro(2, RAD, 6)(s)} rad/s`,
    ),
  ],
  [
    'lines stamped by a terminal',
    lines((s) => `${clockTime(s)} -> ${[ax, ay, az, gx, gy, gz].map((c) => c(s)).join(',')}`),
  ],
  [
    'a stamp before header and rows alike',
    `11:59:59.900 -> ax\tay\taz\tgx\tgy\tgz\n${lines((s) => `${clockTime(s)} -> ${[ax, ay, az, gx, gy, gz].map((c) => c(s)).join('\t')}`)}`,
  ],
  [
    'one row a sensor, told by its name',
    `timestamp_ms,sensor,x,y,z,accuracy\n${bySensor(
      (k) => (k === 'acc' ? 'accelerometer' : 'gyroscope'),
      (t, tag, v) => `${t},${tag},${v},3`,
    )}`,
  ],
  [
    'one row a sensor, no header',
    bySensor(
      (k) => k.toUpperCase(),
      (t, tag, v) => `${tag},${t},${v}`,
    ),
  ],
  [
    'one row a sensor, a magnetometer between',
    `time_ms;kind;x;y;z\n${bySensor(
      (k) => (k === 'acc' ? 'Accel' : 'Gyro'),
      (t, tag, v) => `${t};${tag};${v.replaceAll(',', ';')}\n${t};Mag;1;2;3`,
    )}`,
  ],
  [
    "hexadecimal codes of 16 bits, two's complement",
    `ms,ax,ay,az,gx,gy,gz\n${lines((s) => [ms(s), ...s.accel.map((v) => hex(v * 2048)), ...s.gyro.map((v) => hex(v * 16.4))].join(','))}`,
  ],
  [
    'quoted numbers with commas between thousands',
    `time_us,ax,ay,az,gx,gy,gz\n${lines((s) => [`"${Math.round(s.t * 1e6).toLocaleString('en-US')}"`, ...[ax, ay, az, gx, gy, gz].map((c) => c(s))].join(','))}`,
  ],
  [
    'decimal commas, points between thousands',
    `time_us;ax;ay;az;gx;gy;gz\n${lines((s) => [pointed(String(Math.round(s.t * 1e6))), ...[ax, ay, az, gx, gy, gz].map((c) => german(c(s)))].join(';'))}`,
  ],
  [
    'apostrophes between thousands',
    `time_us,ax,ay,az,gx,gy,gz\n${lines((s) => [pointed(String(Math.round(s.t * 1e6))).replaceAll('.', '’'), ...[ax, ay, az, gx, gy, gz].map((c) => c(s))].join(','))}`,
  ],
];

describe('one motion, its lines in odd shapes', () => {
  test.each(LAYOUTS)('%s', async (_name, text) => {
    const { mapping, report, needs } = await previewLog([textSource(text)], {}, {});
    expect(needs).toEqual([]);
    expect(report!.rateHz).toBeCloseTo(100, 1);
    expect(report).toMatchObject({ rows: 900, badRowCount: 0, presses: [] });
    const whole = await readTake([textSource(text)], mapping, {});
    expect(whole.report).toEqual(report);
    for (const i of [0, 150, 399, 651, 899]) {
      expect(Math.abs(whole.log.gyroXDps[i]! - take[i]!.gyro[0])).toBeLessThan(0.04);
      expect(Math.abs(whole.log.accelYG[i]! - take[i]!.accel[1])).toBeLessThan(6e-4);
      expect(Math.abs(whole.log.accelZG[i]! - take[i]!.accel[2])).toBeLessThan(6e-4);
    }
    // However the bytes arrive.
    const chunked = await readTake([textSource(text, 'take.csv', 1777)], mapping, {});
    expect(chunked.log.gyroXDps).toEqual(whole.log.gyroXDps);
  });
});

test('rows of a button between those of the sensors are its events', async () => {
  const press: Readonly<Record<string, string>> = {
    '3000 acc': '3000,button,1,,\n',
    '3120 acc': '3120,button,0,,\n',
  };
  const text = bySensor(
    (k) => k,
    (t, tag, v) => `${press[`${t} ${tag}`] ?? ''}${t},${tag},${v}`,
  );
  const source = textSource(`ms,kind,v1,v2,v3\n${text}`);
  const { mapping, report } = await previewLog([source], {}, {});
  expect(report).toMatchObject({ rows: 900, badRowCount: 0 });
  const { presses } = await readTake([source], mapping, {});
  expect(presses).toEqual([{ button: 'button event', downUs: 3_000_000, upUs: 3_120_000 }]);
});

test('rows of a kind that comes late are bad rows, not lost without a word', async () => {
  const note = 'x'.repeat(40);
  const text = bySensor(
    (k) => k,
    (t, tag, v) => `${t},${tag},${v},${note}`,
  );
  const { report } = await previewLog(
    [textSource(`ms,kind,v1,v2,v3,note\n${text}\n8990,button,1,,,\n`)],
    {},
    {},
  );
  expect(report!.badRows.map(({ line }) => line)).toEqual([1802]);
});

test('a line that does not fit is a bad row with the number that an editor shows', async () => {
  const rows = lines(labelled).split('\n');
  rows[499] = 'sensor not ready';
  rows[599] = 't:1,ax:2,ay:3';
  const { report } = await previewLog([textSource(rows.join('\n'))], {}, {});
  expect(report!.badRows.map(({ line }) => line)).toEqual([500, 600]);
  expect(report!.rows).toBe(898);
});

test.each([
  [
    'plain rows',
    `t,ax,ay,az,gx,gy,gz\n${lines((s) => [ms(s), ax(s), ay(s), az(s), gx(s), gy(s), gz(s)].join(','))}`,
  ],
  [
    'decimals of three digits',
    `t;ax;ay;az;gx;gy;gz\n${lines((s) => [ms(s), ...[1, 1, 1, 1, 1, 1].map((v) => `${v},125`)].join(';'))}`,
  ],
])('%s pass as they are', async (_name, text) => {
  const { mapping } = await previewLog([textSource(text)], { accelUnit: 'g', gyroUnit: 'deg/s' }, {});
  expect(mapping.files[0]).toMatchObject({ headerLine: 1, firstDataLine: 2 });
});
