import { afterAll, describe, expect, test } from 'vitest';
import { run } from '../../server/cli/inspect.ts';
import { accel, gyro, rollingTake, rowsOf, SIX, time } from '../ingest/logs.ts';
import { makeFolder, runCli } from './runCli.ts';

const folder = makeFolder();
afterAll(folder.remove);

const take = rollingTake(500, 100);
const HEADER = 't_s,gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g';
const plain = folder.write('plain.csv', `${HEADER}\n${rowsOf(take, [time(), ...SIX])}`);
const flawed = folder.write(
  'flawed.csv',
  `${HEADER},power_button\n${rowsOf(take, [time(), ...SIX, (_, i) => Number(i > 200 && i < 220)])}9.0,x,0,0,0,0,1,0\n`,
);
const counted = folder.write('counted.csv', `n,gx,gy,gz,ax,ay,az\n${rowsOf(take, [(_, i) => i, ...SIX])}`);
const acc = folder.write(
  'Accelerometer.csv',
  `time,z,y,x\n${rowsOf(take, [time(), accel(2), accel(1), accel(0)])}`,
);
const gyr = folder.write('Gyroscope.csv', `time,z,y,x\n${rowsOf(take, [time(), gyro(2), gyro(1), gyro(0)])}`);
const prose = folder.write('prose.txt', 'It was a dark night.\nThe lanterns swung.\n');
const inspect = (...argv: string[]) => runCli(run, ...argv);

describe('the JSON document', () => {
  test('holds columns with reasons, figures and dialects', async () => {
    const { code, json } = await inspect(flawed, '--json');
    expect(code).toBe(0);
    expect(json()).toMatchObject({
      files: ['flawed.csv'],
      rows: 500,
      badRowCount: 1,
      badRows: [{ file: 'flawed.csv', line: 502, column: 2, why: '"x" is no number' }],
      rateHz: 100,
      durationS: 4.99,
      duplicates: 0,
      backwards: 0,
      longSteps: 0,
      longestStepMs: 10,
      gaps: 0,
      gapList: [],
      saturated: { gyroX: 0, gyroY: 0, gyroZ: 0, accelX: 0, accelY: 0, accelZ: 0 },
      presses: [{ button: 'power_button', count: 1 }],
      startTime: null,
      needs: [],
      dialects: [
        { name: 'flawed.csv', delimiter: ',', decimal: '.', headerLine: 1, firstDataLine: 2, columnCount: 8 },
      ],
    });
    expect(json().peakRateDps).toBeCloseTo(71.2, 0);
    expect(json().peakAccelG).toBeCloseTo(1, 1);
    expect(json().warnings).toContain('1 row could not be used: see the list of bad rows');
    expect(json().columns.map(({ role, unit }: { role: string; unit: string }) => [role, unit])).toEqual([
      ['time', 's'],
      ['gyroX', 'deg/s'],
      ['gyroY', 'deg/s'],
      ['gyroZ', 'deg/s'],
      ['accelX', 'g'],
      ['accelY', 'g'],
      ['accelZ', 'g'],
      ['button', 'level'],
    ]);
    for (const column of json().columns) expect(column.reason).toMatch(/\w/);
  });

  test('is a list where the files are several takes', async () => {
    const { code, json } = await inspect(plain, flawed, '--json');
    expect(code).toBe(0);
    expect(json().map(({ files, rows }: { files: string[]; rows: number }) => [files, rows])).toEqual([
      [['plain.csv'], 500],
      [['flawed.csv'], 500],
    ]);
  });

  test('is one where two files are the halves of a take', async () => {
    const { code, json } = await inspect(acc, gyr, '--json');
    expect(code).toBe(0);
    expect(json()).toMatchObject({ files: ['Accelerometer.csv', 'Gyroscope.csv'], rows: 500 });
  });

  test('holds the error of a file that is no log, and the good report beside it', async () => {
    const { code, json } = await inspect(prose, plain, '--json');
    expect(code).toBe(1);
    expect(json()).toMatchObject([
      {
        files: ['prose.txt'],
        error: { code: 'LOG_FORMAT', file: 'prose.txt', message: expect.stringContaining('no motion log') },
      },
      { files: ['plain.csv'], rows: 500 },
    ]);
  });

  test('tells what is needed', async () => {
    const { code, json } = await inspect(counted, '--json');
    expect(code).toBe(1);
    expect(json().needs).toEqual([
      'column "n" counts samples and no rate is stated: give the sample rate in Hz',
    ]);
    expect(json().columns).toHaveLength(7);
  });
});

describe('options', () => {
  test.each<[string, string[], Record<string, unknown>]>([
    ['--rate', [counted, '--rate', '250'], { rateHz: 250 }],
    [
      '--map by name',
      [counted, '--rate', '100', '--map', 'time=n', '--time-unit', 'ms'],
      { durationS: 0.499 },
    ],
    ['--map by number from 1', [plain, '--map', 'ignored=1', '--rate', '50'], { rateHz: 50 }],
    ['--map in any case of letters', [flawed, '--map', 'LABEL=Power_Button'], { presses: [] }],
    ['--time-unit', [plain, '--time-unit', 'min'], { durationS: 299.4 }],
  ])('%s', async (_name, argv, expected) => {
    const { code, json } = await inspect(...argv, '--json');
    expect(code).toBe(0);
    expect(json()).toMatchObject(expected);
  });

  test('--accel-unit and --gyro-unit', async () => {
    const { json } = await inspect(plain, '--accel-unit', 'lsb:2', '--gyro-unit', 'lsb:0.5', '--json');
    expect(json().peakAccelG).toBeCloseTo(0.5, 1);
    expect(json().peakRateDps).toBeCloseTo(142.4, 0);
  });
});

describe('text', () => {
  test('is for people', async () => {
    const { code, out, err } = await inspect(flawed);
    expect([code, err]).toEqual([0, '']);
    expect(out).toContain('500 samples, 4.990 s, 100 Hz');
    expect(out).toContain('0 duplicate rows, 0 backwards stamps, 0 gaps, 1 bad row\n');
    expect(out).not.toMatch(/deg\/s|m\/s2/);
    expect(out).toContain('bad row: flawed.csv, line 502, column 2: "x" is no number');
    expect(out).toContain('1 press of power_button');
    expect(out).toContain('gyroX    gx_dps [°/s] (its name says angular rate, x');
  });

  test('an unreadable file goes to stderr', async () => {
    const { code, out, err } = await inspect(prose);
    expect([code, out]).toEqual([1, '']);
    expect(err).toMatch(/^prose\.txt, line 1: .*no motion log/);
  });

  test('--help', async () => {
    const { code, out } = await inspect('--help');
    expect(code).toBe(0);
    for (const option of ['--rate', '--map', '--json', '--gyro-unit', 'Exit code'])
      expect(out).toContain(option);
  });
});

test.each<[string, string[], string]>([
  ['no file', [], 'no file was given'],
  ['a file that is not there', ['nowhere.csv'], 'there is no file nowhere.csv'],
  ['an unknown option', [plain, '--loud'], '--loud'],
  ['a rate of zero', [plain, '--rate', '0'], '--rate must be a number of Hz from 0.1 to 100000, got "0"'],
  [
    'a rate in words',
    [plain, '--rate', 'fast'],
    '--rate must be a number of Hz from 0.1 to 100000, got "fast"',
  ],
  ['an unknown unit', [plain, '--gyro-unit', 'knots'], '"knots" is no such unit; give deg/s, rad/s'],
  ['a unit of another quantity', [plain, '--accel-unit', 'deg/s'], '--accel-unit: "deg/s" is no such unit'],
  ['an unknown role', [plain, '--map', 'speed=gx'], '"speed" is no role'],
  ['a map without a column', [plain, '--map', 'time='], '--map wants ROLE=COLUMN'],
  ['a column that is not there', [plain, '--map', 'time=clock'], 'there is no column "clock"'],
  ['a column number too high', [plain, '--map', 'time=8'], 'there is no column "8"'],
])('misuse ends with code 2 and says why: %s', async (_name, argv, why) => {
  const { code, out, err } = await inspect(...argv);
  expect([code, out]).toEqual([2, '']);
  expect(err).toContain(why);
});

test.each<[string, string[], Record<string, unknown>]>([
  ['an unknown option', [plain, '--loud', '--json'], { code: 'USAGE', file: null }],
  ['a file that is not there', ['nowhere.csv', '--json'], { code: 'FILE', file: 'nowhere.csv' }],
  ['a folder', [folder.path('.'), '--json'], { code: 'FILE', file: folder.path('.') }],
])('misuse with --json is one JSON document, code 2: %s', async (_name, argv, document) => {
  const { code, err, json } = await inspect(...argv);
  expect([code, err]).toEqual([2, '']);
  expect(json().error).toMatchObject(document);
});
