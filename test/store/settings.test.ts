import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { formatKeptFile } from '../../server/engine/kept/keptFile.ts';
import {
  CANDIDATE_VERSION,
  DEFAULT_CANDIDATE,
  withField,
} from '../../server/engine/settings/candidateRules.ts';
import { StoreConflictError } from '../../server/errors.ts';
import { readSettingFile } from '../../server/store/settingFile.ts';
import { temporaryFolder } from './temporaryFolder.ts';
import { openWorkspace } from './temporaryWorkspace.ts';

const SETTING = {
  name: 'Lead spinner',
  prop: 'Lantern blade 3',
  performers: ['Lead spinner'],
  note: 'for the long route',
  candidate: withField(DEFAULT_CANDIDATE, 'guard.speedDps', 150),
  evidence: null,
};
const FASTER = withField(DEFAULT_CANDIDATE, 'guard.speedDps', 160);

async function kept() {
  const path = join(temporaryFolder(), 'workspace');
  const workspace = await openWorkspace(path);
  const setting = await workspace.settings.add(SETTING);
  return { path, workspace, setting, file: join(path, 'settings', `${setting.id}.json`) };
}

test('a setting is kept, and is there when the workspace is opened again', async () => {
  const { path, workspace, setting, file } = await kept();
  expect(setting).toMatchObject({ ...SETTING, revision: 0 });
  expect(setting.id).toMatch(/^lead-spinner-[0-9a-f]{8}$/);
  const second = await workspace.settings.add({ ...SETTING, name: 'Beginner' });
  await workspace.close();
  const again = await openWorkspace(path);
  expect(again.settings.list()).toEqual([second, setting]);
  // The file is one that is read anywhere.
  expect(readSettingFile(formatKeptFile(setting))).toEqual(readSettingFile(withoutRevision(file)));
  await again.close();
});

test('a change names the revision that it goes on from, and a new moment only for other values', async () => {
  const { workspace, setting } = await kept();
  const { settings } = workspace;
  const renamed = await settings.put(setting.id, 0, { ...SETTING, name: 'Spinner' });
  expect(renamed).toEqual({ ...setting, name: 'Spinner', revision: 1 });
  await expect(settings.put(setting.id, 0, SETTING)).rejects.toThrow(StoreConflictError);
  expect(settings.get(setting.id)).toEqual(renamed);
  const changed = await settings.put(setting.id, 1, { ...SETTING, candidate: FASTER });
  expect(changed.candidate).toEqual(FASTER);
  expect(Date.parse(changed.keptAt)).toBeGreaterThanOrEqual(Date.parse(setting.keptAt));
});

test('of two changes from one revision one is refused', async () => {
  const { workspace, setting } = await kept();
  const both = await Promise.allSettled([
    workspace.settings.put(setting.id, 0, { ...SETTING, note: 'one' }),
    workspace.settings.put(setting.id, 0, { ...SETTING, note: 'two' }),
  ]);
  expect(both.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected']);
});

test('what cannot be a setting is refused, and nothing changes on disk', async () => {
  const { workspace, setting, file } = await kept();
  const before = readFileSync(file, 'utf8');
  const wrong = { ...SETTING, candidate: { ...DEFAULT_CANDIDATE, guard: { speedDps: -1 } } as never };
  await expect(workspace.settings.put(setting.id, 0, wrong)).rejects.toThrow('guard.speedDps');
  const odd = { ...SETTING, evidence: { judgedAt: 'yesterday' } as never };
  await expect(workspace.settings.put(setting.id, 0, odd)).rejects.toThrow('evidence');
  await expect(workspace.settings.add(odd)).rejects.toThrow('evidence');
  expect(readFileSync(file, 'utf8')).toBe(before);
  expect(workspace.settings.list()).toEqual([setting]);
});

test('a removed setting lies aside, and comes back as it was', async () => {
  const { path, workspace, setting, file } = await kept();
  await workspace.settings.remove(setting.id);
  expect(existsSync(file)).toBe(false);
  await expect(workspace.settings.put(setting.id, 0, SETTING)).rejects.toThrow('no such setting');
  expect(await workspace.settings.restore(setting.id)).toEqual(setting);
  await workspace.settings.remove(setting.id);
  await workspace.close();
  const again = await openWorkspace(path);
  expect(again.settings.list()).toEqual([]);
  expect(again.problems).toEqual([]);
  expect(await again.settings.restore(setting.id)).toEqual(setting);
  await expect(again.settings.restore('never-was-00000000')).rejects.toThrow('No removed setting');
});

test('a broken file, or one of a newer program, is told of and left as it is, beside the others', async () => {
  const { path, workspace, setting, file } = await kept();
  const other = await workspace.settings.add({ ...SETTING, name: 'Beginner' });
  const third = await workspace.settings.add({ ...SETTING, name: 'Duellist' });
  await workspace.close();
  const broken = readFileSync(file, 'utf8').slice(0, 200);
  writeFileSync(file, broken);
  const newer = join(path, 'settings', `${third.id}.json`);
  const text = readFileSync(newer, 'utf8').replace(`"version": ${CANDIDATE_VERSION}`, '"version": 999');
  writeFileSync(newer, text);
  const again = await openWorkspace(path);
  expect(again.settings.list()).toEqual([other]);
  expect(again.settings.problems).toHaveLength(2);
  expect(again.settings.problems.join(' ')).toContain(`settings/${setting.id}.json`);
  expect(again.settings.problems.join(' ')).toContain('a newer version of this program');
  expect(readFileSync(file, 'utf8')).toBe(broken);
  expect(readFileSync(newer, 'utf8')).toBe(text);
  expect(readdirSync(join(path, 'settings'))).toHaveLength(3);
});

function withoutRevision(file: string): string {
  const { revision: _, ...document } = JSON.parse(readFileSync(file, 'utf8'));
  return JSON.stringify(document);
}
