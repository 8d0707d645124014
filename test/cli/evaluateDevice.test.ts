import { writeFileSync } from 'node:fs';
import { afterAll, expect, test } from 'vitest';
import { run } from '../../server/cli/evaluate.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { seededNormal } from '../seeded.ts';
import { makeFolder, runCli } from './runCli.ts';

const folder = makeFolder();
afterAll(folder.remove);

/** Without smoothing and without a hold the guard is closed wherever the speed is high: no detector is needed to say so. */
const CANDIDATE = { ...DEFAULT_CANDIDATE, smoothing: { ...DEFAULT_CANDIDATE.smoothing, kind: 'none' } };
const GUARD_DPS = CANDIDATE.guard.speedDps;
const RATE_HZ = 200;

/** Twelve seconds of rest and swings about y, with five presses; the guard as a prop logs it that is so many rows late. */
function log(lateRows: number): string {
  const normal = seededNormal(3);
  const rows = Array.from({ length: 12 * RATE_HZ }, (_, i) => {
    const t = i / RATE_HZ;
    const y = t < 3 || t > 11 ? 0 : 400 * Math.sin(2 * Math.PI * 0.9 * (t - 3));
    return { y: y + 0.05 * normal(), isDown: i % 400 >= 380, z: 1 + 0.002 * normal() };
  });
  const isClosed = (i: number) => Math.abs(rows[i - lateRows]?.y ?? 0) >= GUARD_DPS;
  const text = rows.map(({ y, z, isDown }, i) => {
    const isRefused = isDown && !rows[i - 1]?.isDown && isClosed(i);
    return `${i * 5000},0.0${i % 3},${y.toFixed(3)},0,0.00${i % 5},0,${z.toFixed(4)},${Number(isDown)},${Number(isClosed(i))},${Number(isRefused)}`;
  });
  return `time_us,gyro_x_dps,gyro_y_dps,gyro_z_dps,accel_x_g,accel_y_g,accel_z_g,power,guard_closed,press_refused\n${text.join('\n')}\n`;
}

const candidateFile = folder.path('mine.json');
writeFileSync(candidateFile, JSON.stringify(CANDIDATE));

async function evaluate(lateRows: number, ...options: string[]) {
  const file = folder.path(`late-${lateRows}.csv`);
  writeFileSync(file, log(lateRows));
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
  const plain = log(0)
    .split('\n')
    .map((line) => line.split(',').slice(0, 8).join())
    .join('\n');
  writeFileSync(file, plain);
  const { out } = await runCli(run, file, '--json', '--accept-unfit');
  expect(JSON.parse(out).device).toBeNull();
});
