import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { parse } from 'csv-parse';
import type { LogSource } from '../../server/ingest/ground/types.ts';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { readTake } from '../../server/ingest/take/readTake.ts';
import { logSource } from '../../server/store/sourceFiles.ts';
import { seededNormal } from '../simulate/random.ts';
import { type Print, pair, type Work } from './pair.ts';
import { pairWithPython } from './python.ts';

const ROWS = 600_000;
const CHUNK = 256 * 1024;

export async function benchIngest(print: Print): Promise<void> {
  const bytes = Buffer.from(makeLog(), 'utf8');
  const source: LogSource = {
    name: 'bench.csv',
    sizeBytes: bytes.length,
    async *open() {
      for (let at = 0; at < bytes.length; at += CHUNK) yield bytes.subarray(at, at + CHUNK);
    },
  };
  const { mapping } = await previewLog([source], {}, {});
  const read = (): unknown => readTake([source], mapping, {});
  const stream = async (): Promise<number> => {
    let sum = 0;
    for await (const chunk of source.open()) for (let i = 0; i < chunk.length; ++i) sum += chunk[i]!;
    return sum;
  };
  const csvParse = async (): Promise<number> => {
    let cells = 0;
    const parser = Readable.from(source.open()).pipe(parse());
    for await (const record of parser) cells += record.length;
    return cells;
  };
  const size = `${(bytes.length / 1e6).toFixed(0)} MB, ${ROWS / 1000} k rows of 8`;
  await pair(print, `a log read, ${size}`, read, 'adding up its bytes', stream, '≥ 0.25');
  const folder = mkdtempSync(join(tmpdir(), 'moulinet-bench-'));
  try {
    const path = join(folder, 'bench.csv');
    writeFileSync(path, bytes);
    const file = logSource({ name: 'bench.csv', path, sizeBytes: bytes.length });
    const fromFile = (): unknown => readTake([file], mapping, {});
    const value = `len(pd.read_csv(${JSON.stringify(path)}))`;
    const pandas = { name: "pandas's reader", setup: 'import pandas as pd', value };
    await pairWithPython(print, `a log read from a file, ${size}`, fromFile, pandas, '≥ 2');
    const duckDb = await duckDbReader(path);
    if (duckDb === null) print(`a log read from a file, ${size}: no DuckDB here`);
    else await pair(print, `a log read from a file, ${size}`, fromFile, "DuckDB's reader", duckDb, '≥ 2');
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
  // Last, for what it leaves to be swept up.
  await pair(print, `a log read, ${size}`, read, 'csv-parse, cells as text', csvParse, '≥ 10');
}

/** Reads the table into memory; null where the package is missing. It uses all cores, so that its processor time counts. */
async function duckDbReader(path: string): Promise<Work | null> {
  const duckDb = await import('@duckdb/node-api').catch(() => null);
  if (duckDb === null) return null;
  const connection = await (await duckDb.DuckDBInstance.create(':memory:')).connect();
  return () => connection.run(`CREATE OR REPLACE TABLE log AS SELECT * FROM read_csv('${path}')`);
}

/** Time, six channels and a button, with the digits that a logger writes. */
function makeLog(): string {
  const normal = seededNormal(2);
  const lines = ['time_s,ax_g,ay_g,az_g,gx_dps,gy_dps,gz_dps,button'];
  for (let i = 0; i < ROWS; ++i) {
    const t = i / 1000;
    const swing = 500 * Math.sin(2 * Math.PI * 0.9 * t) * (t % 20 > 5 ? 1 : 0);
    const force = [0, 0, 1].map((g) => (g + normal() * 0.01).toFixed(5));
    const rate = [0, swing, 0].map((dps) => (dps + normal()).toFixed(4));
    lines.push(`${t.toFixed(3)},${force.join(',')},${rate.join(',')},${i % 5000 < 90 ? 1 : 0}`);
  }
  return `${lines.join('\n')}\n`;
}
