import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { describe, expect, test } from 'vitest';
import { StoreConflictError, TakeNotFoundError } from '../../server/errors.ts';
import { addTake } from '../../server/store/addTake.ts';
import { MappingError, TakeChangeError } from '../../server/store/errors.ts';
import { type IngestRunner, inlineIngest } from '../../server/store/ingestTasks.ts';
import { smallLog } from './smallLog.ts';
import { temporaryFolder } from './temporaryFolder.ts';
import { addSmallTake, openWorkspace, temporaryWorkspace, uploadText } from './temporaryWorkspace.ts';

describe('adding a take', () => {
  test('the source is kept byte for byte, odd line ends and bytes included', async () => {
    const workspace = await temporaryWorkspace();
    const text = smallLog().replace(/\n/g, '\r\n').replace('time_s', '\uFEFFtime_s');
    const { id, sources } = await addSmallTake(workspace, text);
    const source = await workspace.source(id, 0);
    expect(readFileSync(source.path).equals(Buffer.from(text))).toBe(true);
    const [sizeBytes, sha256] = [Buffer.byteLength(text), createHash('sha256').update(text).digest('hex')];
    expect(sources).toEqual([{ name: 'log.csv', storedAs: 'log.csv', sizeBytes, sha256 }]);
  });

  test('it uses up the uploads and is the same after a new start', async () => {
    const path = join(temporaryFolder(), 'workspace');
    const first = await openWorkspace(path);
    const added = await addSmallTake(first);
    expect(readdirSync(join(path, 'uploads'))).toEqual([]);
    await first.close();
    const second = await openWorkspace(path);
    expect(second.takes.get(added.id)).toEqual(added);
  });

  test('what is read from the log is in the document', async () => {
    const workspace = await temporaryWorkspace({ now: () => Date.UTC(2031, 4, 2) });
    const document = await addSmallTake(workspace);
    expect(document).toMatchObject({
      revision: 0,
      title: 'Slow carry',
      createdAt: '2031-05-02T00:00:00.000Z',
      powerButton: 'power_button',
      presses: [{ button: 'power_button', downUs: 200_000, upUs: 300_000 }],
      labels: { presses: [], spans: [], swings: [] },
      calibration: { leverArmM: 0, bladeLengthM: 0.85, accelScale: 1, bias: 'auto' },
      isDemo: false,
    });
    expect(document.calibration.mount).toEqual(document.mapping.mount);
    // Nobody has stated it.
    expect(document.calibration.isMountStated).toBeUndefined();
    expect(document.report.rows).toBe(100);
    expect(workspace.takes.list()).toEqual([
      expect.objectContaining({ id: document.id, rateHz: 100, pressCount: 1, revision: 0 }),
    ]);
  });

  test('a log that cannot be read adds nothing and leaves the upload for another try', async () => {
    const workspace = await temporaryWorkspace();
    const uploadId = await uploadText(workspace, smallLog());
    const { mapping } = await workspace.preview([uploadId], {}, {});
    const failing: IngestRunner = { ...inlineIngest(), read: () => Promise.reject(new Error('no')) };
    const sources = await workspace.uploads.sources([uploadId]);
    const take = { sources, mapping, title: 'x', performer: '', drill: '', createdAt: '' };
    await expect(addTake(workspace.takes, failing, take, {})).rejects.toThrow('no');
    expect(workspace.takes.list()).toEqual([]);
    expect(readdirSync(join(workspace.path, 'takes'))).toEqual([]);
    expect(await workspace.uploads.sources([uploadId])).toEqual(sources);
  });

  test('a stop after the reading adds nothing', async () => {
    const workspace = await temporaryWorkspace();
    const uploadId = await uploadText(workspace, smallLog());
    const { mapping } = await workspace.preview([uploadId], {}, {});
    const stopped = { signal: AbortSignal.abort() };
    const take = { uploadIds: [uploadId], mapping, title: 'x', performer: '', drill: '' };
    await expect(workspace.addTake(take, stopped)).rejects.toMatchObject({ code: 'CANCELLED' });
    expect(readdirSync(join(workspace.path, 'takes'))).toEqual([]);
  });

  test('a mapping of other files is refused', async () => {
    const workspace = await temporaryWorkspace();
    const uploadId = await uploadText(workspace, smallLog());
    const { mapping } = await workspace.preview([uploadId], {}, {});
    const take = { title: 'x', performer: '', drill: '' };
    const two = { ...mapping, files: [...mapping.files, ...mapping.files] };
    const far = { ...mapping, columns: [{ ...mapping.columns[0]!, index: 99 }] };
    for (const wrong of [two, far]) {
      const added = workspace.addTake({ ...take, uploadIds: [uploadId], mapping: wrong }, {});
      await expect(added).rejects.toThrow(MappingError);
    }
  });
});

describe('changing a take', () => {
  test('each change counts the revision up and is on disk when it is answered', async () => {
    const workspace = await temporaryWorkspace();
    const { id } = await addSmallTake(workspace);
    const changed = await workspace.takes.change(id, 0, { title: 'Quick carry', notes: 'windy' });
    expect(changed).toMatchObject({ revision: 1, title: 'Quick carry', notes: 'windy', drill: 'carry' });
    const onDisk = JSON.parse(readFileSync(join(workspace.takes.folderOf(id), 'take.json'), 'utf8'));
    expect(onDisk).toEqual(changed);
  });

  test('of twenty changes at once from one revision exactly one is made', async () => {
    const workspace = await temporaryWorkspace();
    const { id } = await addSmallTake(workspace);
    const changes = Array.from({ length: 20 }, (_, i) => workspace.takes.change(id, 0, { notes: String(i) }));
    const results = await Promise.allSettled(changes);
    const refused = results.filter((one) => one.status === 'rejected');
    expect(refused).toHaveLength(19);
    expect(refused.every((one) => one.reason instanceof StoreConflictError)).toBe(true);
    expect(workspace.takes.get(id).revision).toBe(1);
  });

  test.each([
    ['a button that the log has not', { powerButton: 'trigger' }, 'no button trigger'],
    ['a deflection button that it has not', { deflectionButton: 'trigger' }, 'deflectionButton: this take'],
    [
      'a span that ends before it starts',
      {
        labels: {
          presses: [],
          swings: [],
          spans: [{ startUs: 5, endUs: 5, kind: 'still', by: 'person' as const }],
        },
      },
      'labels.spans[0]',
    ],
    [
      'a gesture that ends before it starts',
      {
        labels: {
          presses: [],
          swings: [],
          spans: [],
          gestures: [{ startUs: 6, endUs: 5, kind: 'hit' as const, by: 'person' as const }],
        },
      },
      'labels.gestures[0]',
    ],
    [
      'a mount whose two axes are one',
      {
        calibration: {
          mount: { tip: '+x' as const, side: '-x' as const },
          leverArmM: 0,
          bladeLengthM: 1,
          accelScale: 1,
          bias: 'auto' as const,
        },
      },
      'mount',
    ],
  ])('%s is refused and nothing is changed', async (_claim, change, message) => {
    const workspace = await temporaryWorkspace();
    const { id } = await addSmallTake(workspace);
    const changed = workspace.takes.change(id, 0, change);
    await expect(changed).rejects.toThrow(TakeChangeError);
    await expect(changed).rejects.toThrow(message);
    expect(workspace.takes.get(id).revision).toBe(0);
  });

  test('which button deflections wait for is kept with the take, and that there is none', async () => {
    const workspace = await temporaryWorkspace();
    const { id } = await addSmallTake(workspace);
    expect(workspace.takes.get(id).deflectionButton).toBeUndefined();
    const deflectionButton = 'power_button';
    expect(await workspace.takes.change(id, 0, { deflectionButton })).toMatchObject({ deflectionButton });
    expect((await workspace.takes.change(id, 1, { deflectionButton: null })).deflectionButton).toBeNull();
  });

  test('no power button at all is a choice too', async () => {
    const workspace = await temporaryWorkspace();
    const { id } = await addSmallTake(workspace);
    expect((await workspace.takes.change(id, 0, { powerButton: null })).powerButton).toBeNull();
  });
});

describe('the trash', () => {
  test('a deleted take comes back as it was, also after a new start', async () => {
    const path = join(temporaryFolder(), 'workspace');
    const first = await openWorkspace(path);
    const { id } = await addSmallTake(first);
    const document = await first.takes.change(id, 0, { notes: 'keep me' });
    const { sizeBytes } = await first.columns(id);
    await first.takes.remove(id);
    expect(first.takes.list()).toEqual([]);
    expect(() => first.takes.get(id)).toThrow(TakeNotFoundError);
    expect(existsSync(join(path, 'trash', id, 'source', 'log.csv'))).toBe(true);
    await first.close();

    const second = await openWorkspace(path);
    expect(second.takes.list()).toEqual([]);
    expect(await second.takes.restore(id)).toEqual(document);
    expect(second.takes.get(id)).toEqual(document);
    expect((await second.columns(id)).sizeBytes).toBe(sizeBytes);
  });

  test('lists what lies in it, and tells of what it cannot read', async () => {
    const workspace = await temporaryWorkspace();
    const { id } = await addSmallTake(workspace, smallLog(), 'First');
    const torn = await addSmallTake(workspace, smallLog(), 'Torn');
    await addSmallTake(workspace, smallLog(), 'Kept');
    expect(await workspace.takes.removed()).toEqual({ takes: [], problems: [] });
    await workspace.takes.remove(id);
    await workspace.takes.remove(torn.id);
    writeFileSync(join(workspace.path, 'trash', torn.id, 'take.json'), '{"half":');
    writeFileSync(join(workspace.path, 'trash', 'letter'), 'A file.');
    const { takes, problems } = await workspace.takes.removed();
    expect(takes).toEqual([expect.objectContaining({ id, title: 'First' })]);
    expect(problems[0]).toBe('The removed take in trash/letter cannot be read: it is no folder.');
    expect(problems[1]).toContain(`The removed take in trash/${torn.id} cannot be read: `);
    await workspace.takes.restore(id);
    expect((await workspace.takes.removed()).takes).toEqual([]);
  });

  test('only what is there can be deleted or brought back', async () => {
    const workspace = await temporaryWorkspace();
    const { id } = await addSmallTake(workspace);
    await expect(workspace.takes.remove('other')).rejects.toThrow(TakeNotFoundError);
    await expect(workspace.takes.restore('other')).rejects.toThrow(TakeNotFoundError);
    await expect(workspace.takes.restore('../takes')).rejects.toThrow(TakeNotFoundError);
    expect((await workspace.takes.restore(id)).id).toBe(id);
  });
});

describe('opening', () => {
  test('what a crash left half done is cleared away', async () => {
    const path = join(temporaryFolder(), 'workspace');
    const first = await openWorkspace(path);
    const { id } = await addSmallTake(first);
    await first.close();
    const staged = join(path, 'takes', '.adding-half-done-12345678');
    mkdirSync(staged);
    writeFileSync(join(staged, 'columns.bin'), 'half');
    writeFileSync(join(path, 'takes', id, 'take.json.99-1.tmp'), '{"half":');
    writeFileSync(join(path, 'candidates.json.99-2.tmp'), '{"half":');
    const second = await openWorkspace(path);
    expect(second.takes.list().map((take) => take.id)).toEqual([id]);
    expect(second.takes.problems).toEqual([]);
    expect(readdirSync(join(path, 'takes'))).toEqual([id]);
    expect(readdirSync(join(path, 'takes', id)).sort()).toEqual(['columns.bin', 'source', 'take.json']);
    expect(readdirSync(path).filter((name) => name.endsWith('.tmp'))).toEqual([]);
  });

  test.each([
    ['torn', (text: string) => text.slice(0, 200)],
    ['of a newer version', (text: string) => text.replace('"format": 1', '"format": 2')],
    ['of another take', (text: string) => text.replace(/"id": "[^"]+"/, '"id": "other"')],
    ['with gestures that are no list', (text: string) => text.replace('"swings"', '"gestures": 5, "swings"')],
    ['without its labels', (text: string) => text.replace('"labels"', '"labals"')],
  ])('a take document %s is told of and left alone; the other takes open', async (_claim, spoil) => {
    const path = join(temporaryFolder(), 'workspace');
    const first = await openWorkspace(path);
    const bad = await addSmallTake(first);
    const good = await addSmallTake(first);
    await first.close();
    const file = join(path, 'takes', bad.id, 'take.json');
    const spoilt = spoil(readFileSync(file, 'utf8'));
    writeFileSync(file, spoilt);
    const second = await openWorkspace(path);
    expect(second.takes.list().map((take) => take.id)).toEqual([good.id]);
    const says = `The take in takes/${bad.id} cannot be read: `;
    expect(second.takes.problems).toEqual([expect.stringContaining(says)]);
    expect(readFileSync(file, 'utf8')).toBe(spoilt);
  });

  test('a folder with other things in it is refused and stays as it was', async () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, 'holiday.jpg'), '');
    await expect(openWorkspace(folder)).rejects.toThrow('holds holiday.jpg');
    expect(readdirSync(folder)).toEqual(['holiday.jpg']);
  });

  test('a path that is a file is refused in words', async () => {
    const file = join(temporaryFolder(), 'workspace');
    writeFileSync(file, 'x');
    await expect(openWorkspace(file)).rejects.toMatchObject({ code: 'WORKSPACE' });
    await expect(openWorkspace(file)).rejects.toThrow('--workspace');
  });

  test('closing waits for what is being written, an upload too', async () => {
    const workspace = await temporaryWorkspace();
    const stream = new Readable({ read() {} });
    const upload = workspace.uploads.receive('log.csv', stream);
    stream.push('half');
    const closed = workspace.close();
    stream.destroy();
    await closed;
    await expect(upload).rejects.toMatchObject({ code: 'UPLOAD_BROKEN' });
    expect(readdirSync(join(workspace.path, 'uploads'))).toEqual([]);
  });
});
