import { describe, expect, test } from 'vitest';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import { formatLabelsJson } from '../../server/engine/labels/labelsWrite.ts';
import { formatCandidateFile } from '../../server/engine/settings/candidateFile.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { LogFormatError } from '../../server/errors.ts';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { readTake } from '../../server/ingest/take/readTake.ts';
import { accel, gyro, rollingTake, rowsOf, SIX, textSource, time } from './logs.ts';

const take = rollingTake(200, 100);

describe('a file that is no motion log is refused, with the reason', () => {
  test.each<[string, string | Uint8Array, string]>([
    ['empty', '', 'the file is empty'],
    ['blank', '\n \n', 'the file is empty'],
    [
      'prose',
      'Dear diary,\ntoday we swung the lanterns.\nIt was dark.\n',
      'no table of numbers starts in the first lines',
    ],
    ['one column', 'a\n1\n2\n3\n', 'no rows of several fields'],
    [
      'a header alone',
      'time,gx,gy,gz,ax,ay,az\n',
      'it has a header (time, gx, gy, gz, ax, ay, az) and no rows: nothing was recorded, or it was cut off',
    ],
    [
      'a header in another language',
      'Zeit;Beschl_x;Beschl_y;Beschl_z;Taste',
      'it has a header (Zeit, Beschl_x',
    ],
    ['a header and its units', 't,gx,gy,gz,ax,ay,az\ns,dps,dps,dps,g,g,g\n', 'and no rows'],
    ['words in columns', 'lantern,pole\nred,long\n', 'no table of numbers'],
    ['a price list', 'item,price\nlantern,5\npole,7\n', 'no column looks like acceleration'],
    ['a line of digits that is no number in the end', `${'7'.repeat(200_000)}x`, 'no rows of several fields'],
    ['JSON', '{"gx": [1, 2]}', 'this is JSON'],
    ['a candidate', formatCandidateFile(DEFAULT_CANDIDATE), 'this is a candidate: choose Import into A'],
    ['a candidate without a format', JSON.stringify(DEFAULT_CANDIDATE), 'this is a candidate'],
    ['labels', formatLabelsJson(EMPTY_LABELS, 'a take'), 'this is a file of labels: open its take'],
    [
      'labels that go on beyond what is looked at first',
      formatLabelsJson(EMPTY_LABELS, 'a take'.repeat(100_000)),
      'this is a file of labels',
    ],
    ['what a simulation knows', '{"synthetic": true, "presses": []}', 'this is a file of labels'],
    [
      'labels as a table',
      'kind;what;startUs\nwanted;press;1\nstray;press;2\n',
      'this is a file of labels: open its take',
    ],
    ['a JSON list', '[{"gx": 1}]', 'this is JSON'],
    ['HTML', '<!doctype html><p>1,2</p>', 'this is HTML or XML'],
    ['a ZIP file', Uint8Array.of(0x50, 0x4b, 3, 4, 20, 0), 'a ZIP file or a spreadsheet'],
    ['gzip', Uint8Array.of(0x1f, 0x8b, 8, 0), 'a gzip file'],
    ['PDF', '%PDF-1.7\n', 'a PDF file: export its table as CSV'],
    ['PNG', Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 13, 10), 'a PNG picture'],
    ['HDF5', Uint8Array.of(0x89, 0x48, 0x44, 0x46, 13, 10), 'an HDF5 file'],
    [
      'zero bytes',
      Uint8Array.of(65, 66, 67, 68, 0, 69, 70, 71),
      'it holds zero bytes): export the log as CSV',
    ],
    [
      'UTF-16 without a mark',
      new Uint8Array(Buffer.from('time,gx\n1,2\n', 'utf16le')),
      'UTF-16 text without a byte order mark',
    ],
    [
      'the same, the other way round',
      new Uint8Array(Buffer.from('time,gx\n1,2\n', 'utf16le').swap16()),
      'UTF-16 text without a byte order mark',
    ],
    ['zeros and nothing else', new Uint8Array(70_000), 'nothing but zero bytes: nothing was written to it'],
    [
      'numbers as four bytes each',
      new Uint8Array(Int32Array.of(1, 2, 3, 70_000).buffer),
      'this is no text file',
    ],
  ])('%s', async (_name, content, why) => {
    const refusal = previewLog([textSource(content, 'odd.csv')], {}, {});
    await expect(refusal).rejects.toThrow(LogFormatError);
    await expect(previewLog([textSource(content, 'odd.csv')], {}, {})).rejects.toThrow(why);
    await expect(previewLog([textSource(content, 'odd.csv')], {}, {})).rejects.toMatchObject({
      code: 'LOG_FORMAT',
      file: 'odd.csv',
    });
  });

  test('a log whose rows are all bad', async () => {
    const odd = (isOdd: boolean) => (_: unknown, i: number) => (i % 2 === Number(isOdd) ? 'nan' : 1);
    const text = `t_s,gx,gy,gz,ax,ay,az
${rowsOf(take, [time(), odd(true), gyro(1), gyro(2), accel(0), accel(1), odd(false)])}`;
    await expect(previewLog([textSource(text)], {}, {})).rejects.toThrow('fewer than two rows');
  });

  test('a line that never ends', { timeout: 120_000 }, async () => {
    const text = `t_s,gx,gy,gz,ax,ay,az\n${rowsOf(take, [time(), ...SIX])}${'1'.repeat(5 << 20)}`;
    await expect(previewLog([textSource(text)], {}, {})).rejects.toThrow(
      /line 202: a line of more than 4 MiB/,
    );
  });
});

test('while the rate is asked for, units that the columns’ names state are shown', async () => {
  const names = 'ax (g),ay (g),az (g),gx (deg/s),gy (deg/s),gz (deg/s)';
  const text = `${names}\n${rowsOf(take, [accel(0), accel(1), accel(2), gyro(0), gyro(1), gyro(2)])}`;
  const { needs, mapping } = await previewLog([textSource(text)], {}, {});
  expect(needs).toEqual([expect.stringContaining('give the sample rate in Hz')]);
  expect(mapping.columns.map(({ unit }) => unit)).toEqual(['g', 'g', 'g', 'deg/s', 'deg/s', 'deg/s']);
});

describe('what cannot be known is asked for in a plain sentence', () => {
  const codes = [0, 1, 2].map((axis) => (s: (typeof take)[number]) => Math.round(s.accel[axis]! * 2048));
  test.each([
    [
      'no clock and no rate',
      `ax,ay,az,gx,gy,gz\n${rowsOf(take, [accel(0), accel(1), accel(2), gyro(0), gyro(1), gyro(2)])}`,
      'no time column and no stated rate: give the sample rate in Hz',
    ],
    [
      'a counter and no rate',
      `sample,ax,ay,az,gx,gy,gz\n${rowsOf(take, [(_, i) => i, accel(0), accel(1), accel(2), gyro(0), gyro(1), gyro(2)])}`,
      'column "sample" counts samples and no rate is stated: give the sample rate in Hz',
    ],
    [
      'no rates',
      `t,ax,ay,az\n${rowsOf(take, [time(), accel(0), accel(1), accel(2)])}`,
      'no columns of angular rate were found',
    ],
    [
      'an axis is missing',
      `t,ax,ay,gx,gy,gz\n${rowsOf(take, [time(), accel(0), accel(1), gyro(0), gyro(1), gyro(2)])}`,
      'no columns of acceleration were found',
    ],
    [
      'codes of an unknown part without gravity',
      `t,ax_raw,ay_raw,az_raw,gx,gy,gz\n${rowsOf(take, [time(), (_, i) => i % 3, (_, i) => (i * 7) % 5, (_, i) => -(i % 2), gyro(0), gyro(1), gyro(2)])}`,
      'the unit of acceleration is unknown',
    ],
    [
      'rates in codes of an unknown scale',
      `t,ax,ay,az,gx,gy,gz\n${rowsOf(rollingTake(90, 100), [time(), ...codes.map((c) => (s: (typeof take)[number]) => c(s) * 3.1), (_, i) => i % 7, (_, i) => i % 4, (_, i) => i % 3])}`,
      'the unit of angular rate is unknown',
    ],
  ])('%s', async (_name, text, need) => {
    const preview = await previewLog([textSource(text)], {}, {});
    expect(preview.needs.join('\n')).toContain(need);
    expect(preview.report).toBeNull();
    expect(preview.head[0]!.length).toBeGreaterThan(5);
  });

  test('and once stated, the log is read', async () => {
    const text = `sample,ax,ay,az,gx,gy,gz\n${rowsOf(take, [(_, i) => i, accel(0), accel(1), accel(2), gyro(0), gyro(1), gyro(2)])}`;
    const preview = await previewLog([textSource(text)], { rateHz: 100 }, {});
    expect(preview).toMatchObject({
      needs: [],
      report: { rows: 200, rateHz: 100, rateReason: 'stated by you' },
    });
  });
});

describe('what the user states beats every guess', () => {
  const text = `t,gx,gy,gz,ax,ay,az,thing\n${rowsOf(take, [time(), ...SIX, (_, i) => Number(i > 50 && i < 60)])}`;

  test('units', async () => {
    const { report } = await previewLog(
      [textSource(text)],
      { accelUnit: 'm/s2', gyroUnit: 'lsb:2', timeUnit: 'ms' },
      {},
    );
    expect(report!.peakAccelG).toBeLessThan(0.12);
    expect(report!.peakRateDps).toBeLessThan(36);
    expect(report!.durationS).toBeCloseTo(0.00199, 6);
    expect(report!.columns.find(({ role }) => role === 'accelX')!.reason).toContain('stated by you');
  });

  test('roles', async () => {
    const roles = [
      { file: 0, index: 1, role: 'gyroZ' },
      { file: 0, index: 3, role: 'gyroX' },
      { file: 0, index: 7, role: 'button' },
    ] as const;
    const source = textSource(text);
    const { mapping, report } = await previewLog([source], { roles }, {});
    const { log } = await readTake([source], mapping, {});
    expect(log.gyroZDps[180]).toBe(Number(take[180]!.gyro[0].toFixed(4)));
    expect(report!.presses).toEqual([{ button: 'thing', count: 1 }]);
  });

  test.each([
    [{ rateHz: 0 }, 'the rate must lie between'],
    [{ rateHz: Number.NaN }, 'the rate must lie between'],
    [{ accelUnit: 'stone' }, '"stone" is no unit of acceleration'],
    [{ gyroUnit: 'lsb:0' }, '"lsb:0" is no unit of angular rate'],
    [{ timeUnit: 'fortnight' }, '"fortnight" is no unit of time: give s, ms, us'],
  ])('%j is refused', async (overrides, why) => {
    await expect(previewLog([textSource(text)], overrides, {})).rejects.toThrow(why);
  });
});
