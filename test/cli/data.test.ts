import { mkdirSync, readFileSync } from 'node:fs';
import { DuckDBInstance } from '@duckdb/node-api';
import { asyncBufferFromFile, parquetReadObjects } from 'hyparquet';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { run } from '../../server/cli/data.ts';
import { run as runEvaluate } from '../../server/cli/evaluate.ts';
import { rowsOf, type Sample, SIX, time } from '../ingest/logs.ts';
import { makeFolder, runCli } from './runCli.ts';

const folder = makeFolder();
afterAll(folder.remove);

/** Six seconds: rest, swings about z, rest; pressed in a swing and at the end. */
const samples: Sample[] = Array.from({ length: 1200 }, (_, i) => {
  const t = i / 200;
  const rate = t < 2 || t >= 4 ? 0 : 500 * Math.sin(2 * Math.PI * (t - 2));
  return { t, gyro: [0, 0, rate], accel: [0, 0, 1] };
});
const isDown = (s: Sample) => Number([2.25, 5].some((at) => s.t >= at - 1e-9 && s.t < at + 0.05));
const LOG = `t_s,gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g,power_button\n${rowsOf(samples, [time(), ...SIX, isDown])}`;
const LABELS = { presses: [{ button: 'power_button', downUs: 2_250_000, intent: 'stray' }] };
const CHANNELS = 'out/channels/performer=__HIVE_DEFAULT_PARTITION__/take=swings.csv/channels';
const EVENTS = 'out/events/performer=__HIVE_DEFAULT_PARTITION__/take=swings.csv/events';

beforeAll(async () => {
  mkdirSync(folder.path('takes'));
  folder.write('takes/swings.csv', LOG);
  folder.write('takes/swings.labels.json', JSON.stringify(LABELS));
  for (const as of ['parquet', 'csv'])
    expect(
      (await runCli(run, '--takes', folder.path('takes'), '--out', folder.path('out'), '--as', as)).code,
    ).toBe(0);
});

/** The table that `evaluate` writes of the same take. */
async function channelsOfEvaluate(): Promise<string[][]> {
  await runCli(
    runEvaluate,
    folder.path('takes/swings.csv'),
    '--accept-unfit',
    '--channels',
    folder.path('channels.csv'),
  );
  return tableOf(readFileSync(folder.path('channels.csv'), 'utf8'));
}

function tableOf(text: string): string[][] {
  return text
    .trimEnd()
    .split('\n')
    .map((line) => line.split(','));
}

describe('data', () => {
  test('the channels as CSV are those that evaluate writes', async () => {
    expect(tableOf(readFileSync(folder.path(`${CHANNELS}.csv`), 'utf8'))).toEqual(await channelsOfEvaluate());
  });

  test('the channels as Parquet hold the same values, read by two readers that share nothing', async () => {
    const [heads = [], ...rows] = await channelsOfEvaluate();
    const path = folder.path(`${CHANNELS}.parquet`);
    const read = await parquetReadObjects({ file: await asyncBufferFromFile(path) });
    const database = await DuckDBInstance.create();
    const connection = await database.connect();
    const result = await connection.runAndReadAll(`select * from read_parquet('${path}') order by time_us`);
    const other = result.getRowObjectsJS();
    expect(read).toHaveLength(1200);
    // The second one takes the folders' names for columns.
    expect(other).toEqual(read.map((row) => ({ ...row, performer: null, take: 'swings.csv' })));
    for (const [i, row] of rows.entries()) {
      expect(Number(read[i]!['time_us'])).toBe(Math.round(Number(row[0]) * 1e6));
      for (const [k, name] of heads.entries()) {
        if (k === 0) continue;
        const value = read[i]![name] as number;
        if (row[k] === '') expect(value).toBeNaN();
        else expect(Number(value.toPrecision(7))).toBe(Number(row[k]));
      }
    }
  });

  test('events name what a press was labelled and what became of it', async () => {
    const rows = await parquetReadObjects({
      file: await asyncBufferFromFile(folder.path(`${EVENTS}.parquet`)),
    });
    const presses = rows.filter(({ kind }) => kind === 'press');
    expect(presses).toMatchObject([
      { time_us: 2_250_000n, button: 'power_button', intent: 'stray', accepted: false },
      { time_us: 5_000_000n, button: 'power_button', accepted: true },
    ]);
    expect(rows.filter(({ kind }) => kind === 'deflection').length).toBeGreaterThan(2);
    const csv = tableOf(readFileSync(folder.path(`${EVENTS}.csv`), 'utf8'));
    expect(csv[0]).toEqual(['time_us', 'kind', 'button', 'intent', 'accepted', 'reason']);
    expect(csv).toHaveLength(rows.length + 1);
  });

  test.each([
    [['--out', 'x'], '--takes is missing'],
    [['--takes', 'x'], '--out is missing'],
    [['--takes', 'x', '--out', 'y', '--as', 'xml'], '--as must be parquet or csv, got "xml"'],
  ])('%j makes no sense', async (argv, words) => {
    const { code, err } = await runCli(run, ...argv);
    expect(code).toBe(2);
    expect(err).toContain(words);
  });
});
