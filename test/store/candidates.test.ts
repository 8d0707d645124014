import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { StoreCorruptError } from '../../server/errors.ts';
import { temporaryFolder } from './temporaryFolder.ts';
import { openWorkspace } from './temporaryWorkspace.ts';

test('candidates kept before a stab asked for quiet open, and do what they did', async () => {
  const path = join(temporaryFolder(), 'workspace');
  const first = await openWorkspace(path);
  const { a, b } = first.candidates.get();
  await first.candidates.put(0, a, b);
  await first.close();
  const file = join(path, 'candidates.json');
  const document = JSON.parse(readFileSync(file, 'utf8'));
  for (const one of [document.a, document.b])
    for (const name of ['quietBeforeMs', 'untilHitDps', 'hitRatio']) delete one.stab[name];
  writeFileSync(file, JSON.stringify(document));
  const read = (await openWorkspace(path)).candidates.get();
  const stab = { ...a.stab, quietBeforeMs: 0, untilHitDps: 10000, hitRatio: 0.25 };
  expect(read).toEqual({ revision: 1, a: { ...a, stab }, b: { ...b, stab } });
});

test('a broken file of candidates is not replaced by the default', async () => {
  const path = join(temporaryFolder(), 'workspace');
  const first = await openWorkspace(path);
  const { a, b } = first.candidates.get();
  await first.candidates.put(0, a, b);
  await first.close();
  const file = join(path, 'candidates.json');
  writeFileSync(file, readFileSync(file, 'utf8').replace('"speedDps": 240', '"speedDps": -240'));
  await expect(openWorkspace(path)).rejects.toThrow(StoreCorruptError);
  await expect(openWorkspace(path)).rejects.toThrow('guard.speedDps');
  rmSync(file);
  expect((await openWorkspace(path)).candidates.get().revision).toBe(0);
});
