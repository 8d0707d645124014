import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { seededRandom } from '../seeded.ts';
import { bundleForNode } from '../store/bundle.ts';
import { makeFolder } from '../store/temporaryFolder.ts';
import { type Begun, EMPTY_MODEL, type Line, type Model } from './killModel.ts';
import { verify } from './killVerify.ts';
import { soakNumber } from './soakNumber.ts';

const ROUNDS = soakNumber('KILLS', 25);
const SEED = soakNumber('SEED', 41);
/** A workspace is opened this often before the next begins, so that it does not grow for ever. */
const LIFE = 20;
const LONGEST_MS = 400;

test('killed at any moment, whatever it is doing, it loses nothing that it has acknowledged, and opens again', {
  timeout: 7_200_000,
}, async () => {
  const { folder: build, remove: removeBuild } = makeFolder();
  const script = await bundleForNode(fileURLToPath(new URL('./killChild.ts', import.meta.url)), build);
  const random = seededRandom(SEED);
  let acknowledged = 0;
  const inFlight: Record<string, number> = {};
  for (let round = 0; round < ROUNDS; ) {
    const { folder, remove } = makeFolder();
    const path = join(folder, 'workspace');
    let model: Model = EMPTY_MODEL;
    for (let life = 0; life < LIFE && round < ROUNDS; ++life, ++round) {
      const tellPath = join(folder, 'told');
      const argv = [script, path, String(SEED * 1000 + round), JSON.stringify(model), tellPath];
      rmSync(tellPath, { force: true });
      const child = spawn(process.execPath, argv, { stdio: ['ignore', 'ignore', 'pipe'] });
      const told = await killAfter(child, Math.ceil(random() * LONGEST_MS), model, tellPath);
      expect(told.errors, `round ${round}, seed ${SEED}`).toBe('');
      acknowledged += told.acknowledged;
      if (told.begun) inFlight[told.begun.kind] = (inFlight[told.begun.kind] ?? 0) + 1;
      const found = await verify(path, told.model, told.begun);
      expect(found.faults, `round ${round}, seed ${SEED}, in the middle of ${told.begun?.kind}`).toEqual([]);
      ({ model } = found);
    }
    remove();
  }
  removeBuild();
  if (ROUNDS > 25) console.log({ ROUNDS, SEED, acknowledged, inFlight });
  // If no kill ever fell into the middle of something, the test has shown nothing.
  expect(Object.keys(inFlight).length).toBeGreaterThan(3);
  expect(acknowledged).toBeGreaterThan(ROUNDS);
});

interface Told {
  readonly model: Model;
  readonly begun: Begun | null;
  readonly acknowledged: number;
  readonly errors: string;
}

/** Lets the process work for so long after its first word, kills it, and says what it told by then. */
async function killAfter(child: ChildProcess, ms: number, before: Model, tellPath: string): Promise<Told> {
  let errors = '';
  child.stderr!.on('data', (chunk) => {
    errors += chunk;
  });
  const closed = once(child, 'close');
  while (child.exitCode === null && linesIn(tellPath).length === 0) await pause(5);
  await Promise.race([pause(ms), closed]);
  child.kill('SIGKILL');
  await closed;
  const lines = linesIn(tellPath);
  const done = lines.flatMap((line) => ('done' in line ? [line.model] : []));
  const last = lines.at(-1);
  return {
    model: done.at(-1) ?? before,
    begun: last && 'begun' in last ? last.begun : null,
    acknowledged: done.length,
    errors,
  };
}

function linesIn(path: string): Line[] {
  if (!existsSync(path)) return [];
  return readFileSync(path, 'utf8')
    .split('\n')
    .slice(0, -1)
    .map((line) => JSON.parse(line));
}
