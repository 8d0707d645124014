import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { documentText, removeTemps, writeAtomic } from '../../server/store/atomicFile.ts';
import { seededRandom } from '../seeded.ts';
import { bundleForNode } from './bundle.ts';
import { temporaryFolder } from './temporaryFolder.ts';

const KILLS = 12;
const SEED = 20;

describe('writeAtomic', () => {
  test('a process killed in the middle of many writes leaves the document old or new, never torn', async () => {
    const folder = temporaryFolder();
    const data = join(folder, 'data');
    mkdirSync(data);
    const path = join(data, 'document.json');
    const child = fileURLToPath(new URL('./crashChild.ts', import.meta.url));
    const script = await bundleForNode(child, folder);
    const random = seededRandom(SEED);
    let leftovers = 0;
    for (let kill = 0; kill < KILLS; ++kill) {
      await killAfter(script, path, 1 + Math.floor(3 * random()), 15 * random());
      const text = readFileSync(path, 'latin1');
      expect(text === text.charAt(0).repeat(2_000_000), `whole after kill ${kill}, seed ${SEED}`).toBe(true);
      leftovers += readdirSync(data).length - 1;
      await removeTemps(data);
      expect(readdirSync(data)).toEqual(['document.json']);
    }
    // If no kill ever fell into a write, the test has shown nothing.
    expect(leftovers).toBeGreaterThan(0);
  });

  test('a write that fails leaves the old document and no temp file', async () => {
    const folder = temporaryFolder();
    const path = join(folder, 'document.json');
    await writeAtomic(path, 'old');
    const broken = [Buffer.from('new'), 5 as unknown as Uint8Array];
    await expect(writeAtomic(path, broken)).rejects.toThrow();
    expect(readFileSync(path, 'utf8')).toBe('old');
    expect(readdirSync(folder)).toEqual(['document.json']);
  });

  test('writes to one path at the same time end with one of them whole', async () => {
    const folder = temporaryFolder();
    const path = join(folder, 'document.json');
    const texts = Array.from({ length: 20 }, (_, i) => String(i).repeat(10_000));
    await Promise.all(texts.map((text) => writeAtomic(path, text)));
    expect(texts).toContain(readFileSync(path, 'utf8'));
    expect(readdirSync(folder)).toEqual(['document.json']);
  });
});

describe('removeTemps', () => {
  test('only what writeAtomic left is removed, also that of another process', async () => {
    const folder = temporaryFolder();
    for (const name of ['take.json', 'take.json.4711-3.tmp', 'notes.tmp', 'a.1-x.tmp']) {
      writeFileSync(join(folder, name), '');
    }
    await removeTemps(folder);
    expect(readdirSync(folder).sort()).toEqual(['a.1-x.tmp', 'notes.tmp', 'take.json']);
  });
});

describe('documentText', () => {
  test.each([[Number.NaN], [Number.POSITIVE_INFINITY], [Number.NEGATIVE_INFINITY]])(
    'a number that JSON cannot hold is refused, not turned into null: %d',
    (value) => expect(() => documentText({ deep: [{ value }] })).toThrow(`value is ${value}`),
  );

  test('what is written is read back the same', () => {
    const document = { a: [0.1, -1e-12, 9_007_199_254_740_991], b: 'ä\n"', c: null };
    expect(JSON.parse(documentText(document))).toEqual(document);
  });
});

/** Lets the child write some documents, then kills it a moment later. */
async function killAfter(script: string, path: string, writes: number, delayMs: number): Promise<void> {
  const child = spawn(process.execPath, [script, path], { stdio: ['ignore', 'pipe', 'inherit'] });
  const ended = once(child, 'exit');
  let written = 0;
  while (written < writes) written += String((await once(child.stdout, 'data'))[0]).length;
  child.stdout.resume();
  await new Promise((resolve) => setTimeout(resolve, delayMs));
  child.kill('SIGKILL');
  await ended;
}
