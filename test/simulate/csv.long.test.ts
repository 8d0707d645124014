import { expect, test } from 'vitest';
import { Choreography } from '../../scripts/simulate/choreography.ts';
import { type CsvDialect, writeCsv } from '../../scripts/simulate/csv.ts';
import { onStand } from '../../scripts/simulate/moves.ts';
import { idealSensor } from '../../scripts/simulate/sensor.ts';
import { type SimulatedTake, simulateTake } from '../../scripts/simulate/take.ts';

const PLAIN: CsvDialect = {
  delimiter: ',',
  decimal: '.',
  newline: '\n',
  byteOrderMark: false,
  quotedHeader: false,
  preamble: [],
  time: { name: 't', unit: 's', digits: 2, startMs: 0 },
  gyro: { names: ['gx', 'gy', 'gz'], unit: 'deg/s', digits: 1 },
  accel: { names: ['ax', 'ay', 'az'], unit: 'g', digits: 3 },
  gyroFirst: false,
  buttons: { style: 'level', names: ['power'] },
  labelColumn: null,
};

/** Five rows at 100 Hz on a stand, the power button down on the second and third. */
function fiveRows(): SimulatedTake {
  const c = new Choreography(1);
  onStand(c, 0.04);
  c.press('power', 0.01, 'wanted', 'at rest', 0.02);
  const { gyro, accel, ...rest } = idealSensor([0.1, 0, 0]);
  const sensor = {
    ...rest,
    gyro: { ...gyro, bias: [1, -0.01, 0.26] as const, codesPerUnit: 16.4 },
    accel: { ...accel, codesPerUnit: 2048 },
  };
  return simulateTake({ rateHz: 100, sensor, choreography: c.finish(), seed: 1 });
}

const lines = (changes: Partial<CsvDialect>, newline = '\n') =>
  writeCsv(fiveRows(), { ...PLAIN, ...changes }).split(newline);

test('a plain log has a header, a row for each sample, and a last line end', () => {
  expect(lines({})).toEqual([
    't,ax,ay,az,gx,gy,gz,power',
    '0.00,0.000,0.000,1.000,1.0,0.0,0.2,0',
    '0.01,0.000,0.000,1.000,1.0,0.0,0.2,1',
    '0.02,0.000,0.000,1.000,1.0,0.0,0.2,1',
    '0.03,0.000,0.000,1.000,1.0,0.0,0.2,0',
    '0.04,0.000,0.000,1.000,1.0,0.0,0.2,0',
    '',
  ]);
});

test.each([
  ['decimal comma', { delimiter: ';', decimal: ',' }, '0,01;0,000;0,000;1,000;1,0;0,0;0,2;1'],
  [
    'm/s^2 and rad/s',
    {
      accel: { ...PLAIN.accel, unit: 'm/s2', digits: 3 },
      gyro: { ...PLAIN.gyro, unit: 'rad/s', digits: 4 },
    },
    '0.01,0.000,0.000,9.807,0.0170,0.0000,0.0043,1',
  ],
  [
    'mg and mdeg/s',
    { accel: { ...PLAIN.accel, unit: 'mg', digits: 0 }, gyro: { ...PLAIN.gyro, unit: 'mdeg/s', digits: 0 } },
    '0.01,0,0,1000,976,0,244,1',
  ],
  [
    'raw codes',
    {
      accel: { ...PLAIN.accel, unit: 'codes', digits: 0 },
      gyro: { ...PLAIN.gyro, unit: 'codes', digits: 0 },
      gyroFirst: true,
    },
    '0.01,16,0,4,0,0,2048,1',
  ],
  [
    'epoch nanoseconds, beyond what a double holds',
    { time: { name: 't', unit: 'ns', digits: 0, startMs: 1_778_347_800_001 } },
    '1778347800011000000,0.000,0.000,1.000,1.0,0.0,0.2,1',
  ],
  [
    'ISO 8601',
    { time: { name: 't', unit: 'iso8601', digits: 3, startMs: Date.UTC(2026, 4, 9, 17, 29, 59, 995) } },
    '2026-05-09T17:30:00.005Z,0.000,0.000,1.000,1.0,0.0,0.2,1',
  ],
  [
    'true and false',
    { buttons: { style: 'trueFalse', names: ['power'] } },
    '0.01,0.000,0.000,1.000,1.0,0.0,0.2,true',
  ],
  ['edges', { buttons: { style: 'edge', column: 'event' } }, '0.01,0.000,0.000,1.000,1.0,0.0,0.2,power down'],
] as const)('%s', (_name, changes, second) => {
  expect(lines(changes as Partial<CsvDialect>)[2]).toBe(second);
});

test('an edge is written once when the button goes down and once when it comes up', () => {
  const cells = lines({ buttons: { style: 'edge', column: 'event' } })
    .slice(1, 6)
    .map((line) => line.split(',').at(-1));
  expect(cells).toEqual(['', 'power down', '', 'power up', '']);
});

test('byte order mark, CRLF, quotes and lines above the header come out as asked', () => {
  const text = writeCsv(fiveRows(), {
    ...PLAIN,
    byteOrderMark: true,
    newline: '\r\n',
    quotedHeader: true,
    preamble: ['# a note'],
  });
  expect(text.startsWith('\uFEFF# a note\r\n"t","ax","ay","az","gx","gy","gz","power"\r\n0.00,')).toBe(true);
  expect(text.split('\n').every((line) => line === '' || line.endsWith('\r'))).toBe(true);
});

test('a sensor without steps has no codes to write', () => {
  const c = new Choreography(1);
  onStand(c, 0.04);
  const plan = { rateHz: 100, sensor: idealSensor([0, 0, 0]), choreography: c.finish(), seed: 1 };
  const dialect: CsvDialect = { ...PLAIN, gyro: { ...PLAIN.gyro, unit: 'codes' } };
  expect(() => writeCsv(simulateTake(plan), dialect)).toThrow(RangeError);
});
