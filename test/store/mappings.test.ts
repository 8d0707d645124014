import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { Overrides } from '../../server/ingest/ground/types.ts';
import type { Workspace } from '../../server/store/workspace.ts';
import { smallLog } from './smallLog.ts';
import { temporaryFolder } from './temporaryFolder.ts';
import { openWorkspace, temporaryWorkspace, uploadText } from './temporaryWorkspace.ts';

const LABEL: Overrides = { roles: [{ file: 0, index: 7, role: 'label' }] };
const NAMES = { title: 'x', performer: '', drill: '' };

/** Adds a log with what was corrected in it; null leaves what is remembered as it is. */
async function addWith(workspace: Workspace, corrections: Overrides | null, name = 'first.csv') {
  const uploadId = await uploadText(workspace, smallLog(), name);
  const { mapping } = await workspace.preview([uploadId], corrections ?? {}, {});
  const kept = corrections === null ? {} : { corrections };
  return workspace.addTakeAndRemember({ ...NAMES, uploadIds: [uploadId], mapping, ...kept }, {});
}

async function previewAgain(workspace: Workspace) {
  const uploadId = await uploadText(workspace, smallLog(), 'second.csv');
  return workspace.preview([uploadId], {}, {}, true);
}

describe('a corrected mapping', () => {
  test('is applied to the next log of the same shape, also after a new start', async () => {
    const path = join(temporaryFolder(), 'workspace');
    const first = await openWorkspace(path, { now: () => Date.UTC(2031, 4, 2) });
    expect((await addWith(first, LABEL)).notRemembered).toBeNull();
    await first.close();
    const second = await openWorkspace(path);
    const { mapping, remembered } = await previewAgain(second);
    expect(mapping.columns[7]).toMatchObject({
      role: 'label',
      reason: 'as you set for first.csv on 2031-05-02',
    });
    expect(remembered).toMatchObject({ fileName: 'first.csv', inUse: true });
  });

  test('the last one of a shape stands; an empty one puts an end to it', async () => {
    const workspace = await temporaryWorkspace();
    await addWith(workspace, LABEL);
    await addWith(workspace, { mount: { tip: '-z', side: '+x' } }, 'other.csv');
    expect(workspace.mappings.list()).toEqual([
      expect.objectContaining({ fileName: 'other.csv', corrections: { mount: { tip: '-z', side: '+x' } } }),
    ]);
    await addWith(workspace, null);
    expect(workspace.mappings.list()).toHaveLength(1);
    await addWith(workspace, {});
    expect(workspace.mappings.list()).toEqual([]);
  });

  test('is forgotten once, and then no longer there to be forgotten', async () => {
    const workspace = await temporaryWorkspace();
    await addWith(workspace, LABEL);
    const { id } = workspace.mappings.list()[0]!;
    await workspace.mappings.forget(id);
    expect((await previewAgain(workspace)).remembered).toBeNull();
    await expect(workspace.mappings.forget(id)).rejects.toMatchObject({ code: 'MAPPING_NOT_FOUND' });
  });

  test('nothing corrected writes no file', async () => {
    const workspace = await temporaryWorkspace();
    await addWith(workspace, {});
    expect(existsSync(join(workspace.path, 'mappings.json'))).toBe(false);
  });
});

describe('a file of mappings that cannot be read', () => {
  test.each<[string, (text: string) => string, string]>([
    ['torn', (text) => text.slice(0, 90), 'JSON'],
    ['of a newer version', (text) => text.replace('"format": 1', '"format": 2'), 'newer version'],
    [
      'with a unit that is none',
      (text) => text.replace('"roles"', '"gyroUnit": "knots", "roles"'),
      '"knots"',
    ],
    ['with a role that is none', (text) => text.replace('"label"', '"lable"'), '"lable"'],
    ['with an unknown correction', (text) => text.replace('"roles"', '"rolls"'), 'corrections.rolls'],
    ['of another shape than its id', (text) => text.replace('"time_s"', '"time"'), 'id does not fit'],
  ])('%s is told of, applied nowhere, and set aside by the next correction', async (_claim, spoil, says) => {
    const path = join(temporaryFolder(), 'workspace');
    const first = await openWorkspace(path);
    await addWith(first, LABEL);
    await first.close();
    const file = join(path, 'mappings.json');
    const spoilt = spoil(readFileSync(file, 'utf8'));
    writeFileSync(file, spoilt);

    const second = await openWorkspace(path);
    expect(second.problems).toEqual([expect.stringContaining(says)]);
    expect(second.problems[0]).toContain('mappings.json cannot be read');
    expect((await previewAgain(second)).remembered).toBeNull();
    expect(readFileSync(file, 'utf8')).toBe(spoilt);

    await addWith(second, LABEL);
    expect(second.problems).toEqual([]);
    expect(readFileSync(join(path, 'mappings.unreadable.json'), 'utf8')).toBe(spoilt);
    await second.close();
    const third = await openWorkspace(path);
    expect(third.mappings.list()).toHaveLength(1);
  });
});
