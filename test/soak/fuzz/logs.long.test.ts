import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { smallLog } from '../../store/smallLog.ts';
import { FUZZ_TIMEOUT, fuzz, mutated } from './fuzz.ts';
import { readSoundly } from './readLog.ts';

const utf16 = (text: string) => Buffer.from(`\uFEFF${text}`, 'utf16le');
const json = smallLog(60)
  .trimEnd()
  .split('\n')
  .slice(1)
  .map((line) => {
    const [t, gx, gy, gz, ax, ay, az] = line.split(',').map(Number);
    return JSON.stringify({ t, gx, gy, gz, ax, ay, az });
  });

/** Sound logs of several layouts, from which the odd ones are made. */
const SOUND: readonly Buffer[] = [
  Buffer.from(smallLog(80)),
  Buffer.from(
    smallLog(60)
      .replaceAll('.', ',')
      .replaceAll(/,(?=[a-z])/g, ';'),
  ),
  Buffer.from(smallLog(60).replaceAll(',', '\t').replaceAll('\n', '\r\n')),
  Buffer.from(smallLog(60).replace(/^.*\n/, '')),
  Buffer.from(`# rate: 100 Hz\n# range: 16 g\n${smallLog(60)}`),
  utf16(smallLog(40)),
  Buffer.from(`${json.join('\n')}\n`),
  Buffer.from(smallLog(60).replaceAll(/^[\d.]+/gm, (t) => new Date(1.7e12 + Number(t) * 1000).toISOString())),
];

describe('whatever the bytes are, the log is read soundly, asked about, or refused in words', () => {
  test('bytes that were sound once', FUZZ_TIMEOUT, async () => {
    await fuzz('bytes', mutated(SOUND), 250, async (bytes) => {
      await readSoundly(bytes);
    });
  });

  test('bytes at random', FUZZ_TIMEOUT, async () => {
    const bytes = fc.oneof(
      fc.uint8Array({ maxLength: 3000 }),
      fc
        .string({ unit: fc.constantFrom(...'0123456789.,;-+eE\n\r\t "#:abcxyz_()'), maxLength: 3000 })
        .map((text) => Buffer.from(text)),
      fc
        .array(fc.array(fc.oneof(fc.double(), fc.integer(), fc.string({ maxLength: 8 })), { maxLength: 9 }), {
          maxLength: 40,
        })
        .map((rows) => Buffer.from(rows.map((row) => row.join(',')).join('\n'))),
    );
    await fuzz('random bytes', bytes, 250, async (some) => {
      await readSoundly(some);
    });
  });
});

/** A number in the file's own decimals, and how it may be written. */
const value = (most: number) =>
  fc.integer({ min: -most * 1000, max: most * 1000 }).map((whole) => whole / 1000);

const table = fc.array(fc.tuple(...[400, 400, 400, 4, 4, 4].map(value)), { minLength: 40, maxLength: 60 });

const dialect = fc.record({
  delimiter: fc.constantFrom(',', ';', '\t', '|'),
  decimalComma: fc.boolean(),
  lineEnd: fc.constantFrom('\n', '\r\n', '\r'),
  quotes: fc.boolean(),
  mark: fc.boolean(),
  lastEnd: fc.boolean(),
  blanks: fc.boolean(),
  comment: fc.constantFrom('', '# made by hand', '// made by hand'),
  exponent: fc.boolean(),
  plus: fc.boolean(),
});

const NAMES = ['time_ms', 'gyro_x_dps', 'gyro_y_dps', 'gyro_z_dps', 'accel_x_g', 'accel_y_g', 'accel_z_g'];

test('a table is read to the same numbers in whatever dialect it is written', FUZZ_TIMEOUT, async () => {
  await fuzz('dialects', fc.tuple(table, dialect), 120, async ([rows, how]) => {
    const isComma = how.decimalComma && how.delimiter !== ',';
    const spell = (number: number): string => {
      const plain = how.exponent ? number.toExponential() : String(number);
      const signed = how.plus && number >= 0 ? `+${plain}` : plain;
      const text = isComma ? signed.replace('.', ',') : signed;
      return how.quotes ? `"${text}"` : how.blanks ? ` ${text} ` : text;
    };
    const lines = [
      ...(how.comment === '' ? [] : [how.comment]),
      NAMES.join(how.delimiter),
      ...rows.map((row, i) => [i * 10, ...row].map(spell).join(how.delimiter)),
    ];
    const text = `${how.mark ? '\uFEFF' : ''}${lines.join(how.lineEnd)}${how.lastEnd ? how.lineEnd : ''}`;
    const take = await readSoundly(Buffer.from(text), {
      accelUnit: 'g',
      gyroUnit: 'deg/s',
      timeUnit: 'ms',
      clock: 'stamps',
    });
    if (take === null || take.report.badRowCount > 0) return;
    const { timeUs, gyroXDps, gyroYDps, gyroZDps, accelXG, accelYG, accelZG } = take.log;
    const zeros = take.report.zeroRows ?? 0;
    expect(timeUs.length + zeros + take.report.duplicates).toBe(rows.length);
    if (zeros > 0 || take.report.duplicates > 0) return;
    const columns = [gyroXDps, gyroYDps, gyroZDps, accelXG, accelYG, accelZG];
    for (const [k, column] of columns.entries())
      expect([...column].map((one) => one + 0)).toEqual(rows.map((row) => row[k]! + 0));
  });
});

test('numbers are what the language reads in them, however they are spelt', FUZZ_TIMEOUT, async () => {
  const digits = fc.string({ unit: fc.constantFrom(...'0123456789'), minLength: 1, maxLength: 25 });
  const spelt = fc
    .tuple(
      fc.constantFrom('', '-', '+'),
      digits,
      fc.option(digits),
      fc.option(fc.integer({ min: -30, max: 2 })),
    )
    .map(
      ([sign, whole, part, exponent]) =>
        `${sign}${whole.slice(0, 3)}${part === null ? '' : `.${part}`}${exponent === null ? '' : `e${exponent}`}`,
    );
  await fuzz('numbers', fc.array(spelt, { minLength: 40, maxLength: 60 }), 120, async (texts) => {
    const rows = texts.map(
      (text, i) => `${i * 10},${text},${(200 * Math.sin(i / 5)).toFixed(3)},1,0.1,0.2,0.9${i % 10}`,
    );
    const take = await readSoundly(Buffer.from(`${NAMES.join(',')}\n${rows.join('\n')}\n`), {
      accelUnit: 'g',
      gyroUnit: 'deg/s',
      timeUnit: 'ms',
      clock: 'stamps',
    });
    if (take === null) return;
    const byTime = new Map(Array.from(take.log.timeUs, (us, i) => [us, take.log.gyroXDps[i]!]));
    const first = texts.findIndex((_, i) => !take.report.badRows.some(({ line }) => line === i + 2));
    for (const [i, text] of texts.entries()) {
      const read = byTime.get((i - first) * 10_000);
      if (read !== undefined) expect(Object.is(read, Number(text))).toBe(true);
    }
  });
});

test('stamps become rising whole microseconds, and no row is lost without a word', FUZZ_TIMEOUT, async () => {
  const step = fc.oneof(
    { weight: 20, arbitrary: fc.constant(10) },
    { weight: 3, arbitrary: fc.integer({ min: 8, max: 12 }) },
    {
      weight: 1,
      arbitrary: fc.constantFrom(0, -10, 1, 500, 60_000, -100_000, 4_294_967_296, -4_294_967_296, 0.5),
    },
  );
  const unit = fc.constantFrom('time_s', 'time_ms', 'time_us', 'time_ns', 'time', 'timestamp', 't', 'ticks');
  const stamps = fc.record({
    steps: fc.array(step, { minLength: 30, maxLength: 120 }),
    start: fc.constantFrom(0, 1, 12_345, 4_294_967_000, 1.7e12, 1.7e15),
    unit,
  });
  await fuzz('stamps', stamps, 150, async ({ steps, start, unit: name }) => {
    let at = start;
    const rows = steps.map((by, i) => {
      at += by;
      return `${at},${(200 * Math.sin(i / 5)).toFixed(3)},5,-3,0.1,0.2,0.9${i % 10}`;
    });
    const take = await readSoundly(
      Buffer.from(`${[name, ...NAMES.slice(1)].join(',')}\n${rows.join('\n')}\n`),
    );
    if (take === null) return;
    const { report } = take;
    const told = report.rows + report.badRowCount + report.duplicates + (report.zeroRows ?? 0);
    expect(told).toBeGreaterThanOrEqual(rows.length - report.backwards);
  });
});
