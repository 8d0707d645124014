import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { writeCsv } from '../../scripts/simulate/csv.ts';
import { DIALECTS } from '../../scripts/simulate/demo/dialects.ts';
import type { SimulatedTake } from '../../scripts/simulate/take.ts';
import { run } from '../../server/cli/inspect.ts';
import { mapColumns, take } from '../engine/check/checkedTakes.ts';

const folder = mkdtempSync(join(tmpdir(), 'moulinet-check-'));
afterAll(() => rmSync(folder, { recursive: true }));

beforeAll(() => {
  const sound = take();
  write('sound', sound);
  write('dead', {
    ...sound,
    log: mapColumns(sound.log, (column, key) => (key === 'gyroYDps' ? column.map(() => 0) : column)),
  });
  const lines = writeCsv(sound, DIALECTS.plain).split('\n');
  const repeated = lines.flatMap((line, i) =>
    i > 50 && i % 77 === 0 && i / 77 <= 71 ? [line, line] : [line],
  );
  writeFileSync(join(folder, 'repeated.csv'), repeated.join('\n'));
});

function write(name: string, simulated: SimulatedTake): void {
  writeFileSync(join(folder, `${name}.csv`), writeCsv(simulated, DIALECTS.plain));
}

async function inspect(...args: string[]): Promise<{ code: number; out: string }> {
  let out = '';
  const stdout = { write: (text: string) => (out += text) };
  const code = await run(
    args.map((arg) => arg.replace('@', folder)),
    { stdout, stderr: stdout },
  );
  return { code, out };
}

test('a sound log is fit, and the exit code says so', async () => {
  const { code, out } = await inspect('@/sound.csv', '--check');
  expect(out).toContain('check: Fit to tune on.');
  expect(out).toMatch(/pass {4}Swings: 25 swings/);
  expect(code).toBe(0);
});

test('a log with a dead channel is not fit: exit code 1, the line and the advice named', async () => {
  const { code, out } = await inspect('@/dead.csv', '--check');
  expect(out).toMatch(/check: Not fit to tune on: .*stuck channels/);
  expect(out).toMatch(
    /fail {4}Stuck channels: gyro y reads nothing but 0 throughout\.\n +Look at the wiring/,
  );
  expect(code).toBe(1);
});

test('without --check the same log is only read', async () => {
  const { code, out } = await inspect('@/dead.csv');
  expect(out).not.toContain('check:');
  expect(code).toBe(0);
});

test('71 rows written twice are told, and the fastest swing is the one that was', async () => {
  const sound = JSON.parse((await inspect('@/sound.csv', '--check', '--json')).out).check;
  const { code, out } = await inspect('@/repeated.csv', '--check', '--json');
  const { check } = JSON.parse(out);
  const line = (of: typeof check, id: string) => of.lines.find((one: { id: string }) => one.id === id);
  expect(check.verdict).toBe('care');
  expect(line(check, 'rows')).toMatchObject({ state: 'caution', name: 'Rows read' });
  expect(line(check, 'rows').finding).toMatch(/^71 rows with a stamp that was there already/);
  expect(line(check, 'swings').finding).toBe(line(sound, 'swings').finding);
  expect(code).toBe(0);
});

test('every take of several has its own check in the document', async () => {
  const documents = JSON.parse((await inspect('@/sound.csv', '@/dead.csv', '--check', '--json')).out);
  expect(documents.map(({ check }: { check: { verdict: string } }) => check.verdict)).toEqual([
    'fit',
    'unfit',
  ]);
});
