import { writeFileSync } from 'node:fs';
import { afterAll, expect, test } from 'vitest';
import { run } from '../../server/cli/evaluate.ts';
import { PLAIN_CANDIDATE, plainDeviceLog } from '../plainDeviceLog.ts';
import { makeFolder, runCli } from './runCli.ts';

const folder = makeFolder();
afterAll(folder.remove);

const candidateFile = folder.path('mine.json');
writeFileSync(candidateFile, JSON.stringify(PLAIN_CANDIDATE));

async function evaluate(lateRows: number, ...options: string[]) {
  const file = folder.path(`late-${lateRows}.csv`);
  writeFileSync(file, plainDeviceLog(lateRows));
  return runCli(run, file, '--candidate', candidateFile, '--accept-unfit', ...options);
}

test('a prop that decides as the bench', async () => {
  const { out, code } = await evaluate(0);
  expect(code).toBe(0);
  expect(out).toMatch(/The prop behaves as the bench: (\d+) of \1 decisions alike \(about 95 %: /);
  expect(out).toContain('The log does not tell of fires.');
  expect(out).not.toContain('cause');
});

test('a prop that is late, in text and as a document', async () => {
  const { out } = await evaluate(4);
  expect(out).toMatch(
    /The prop differs from the bench: \d+ of \d+ decisions alike .*, the prop 20 ms later\./,
  );
  expect(out).toContain('Likely cause: the prop decides 20 ms late (4 samples)');
  const { device } = JSON.parse((await evaluate(4, '--json')).out);
  expect(device.likely).toMatchObject([{ cause: { kind: 'late', samples: 4 }, differencesLeft: 0 }]);
  expect(device.decisions - device.alike).toBe(device.differences.length);
  expect(device.lateMs).toBe(20);
});

test('a log without decisions is silent of them', async () => {
  const file = folder.path('plain.csv');
  const plain = plainDeviceLog(0)
    .split('\n')
    .map((line) => line.split(',').slice(0, 8).join())
    .join('\n');
  writeFileSync(file, plain);
  const { out } = await runCli(run, file, '--json', '--accept-unfit');
  expect(JSON.parse(out).device).toBeNull();
});
