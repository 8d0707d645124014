/**
 * Does one thing after another to a workspace, tells of each before it begins and once it is acknowledged, until it is killed.
 * Arguments: the folder, a seed, the model of what is there by now, the file to tell it in.
 */
import { createHash } from 'node:crypto';
import { openSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { seededRandom } from '../../scripts/simulate/random.ts';
import { writeOutput } from '../../server/cli/outputFile.ts';
import { importArchive } from '../../server/store/archive/importArchive.ts';
import { openArchive } from '../../server/store/archive/readArchive.ts';
import { archiveOf } from '../../server/store/archive/writeArchive.ts';
import { inlineIngest } from '../../server/store/ingestTasks.ts';
import { Recorder } from '../../server/store/recordings/recorder.ts';
import { Workspace } from '../../server/store/workspace.ts';
import { smallLog } from '../store/smallLog.ts';
import { type Begun, KINDS, type Kind, type Line, type Model } from './killModel.ts';

const [path = '', seed = '0', modelText = '', tellPath = ''] = process.argv.slice(2);
// A file takes a line as a whole, where a pipe that nobody reads in time takes none.
const telling = openSync(tellPath, 'w');
const random = seededRandom(Number(seed));
const model: Model = JSON.parse(modelText);
const workspace = await Workspace.open(path, { ingest: inlineIngest() });
const zipPath = join(path, '..', 'shared.zip');
const START = { source: 'port', title: 'Live', performer: '', drill: '' };
let made = 0;

function say(line: Line): void {
  writeSync(telling, `${JSON.stringify(line)}\n`);
}

function begin(kind: Kind, about = '', after = ''): string {
  const begun: Begun = { kind, about, after };
  say({ begun });
  return after;
}

/** One of those that a thing can be done to; null where there is none. */
function pick<T>(of: Record<string, T>, isFit: (one: T) => boolean = () => true): string | null {
  const ids = Object.keys(of).filter((id) => isFit(of[id]!));
  return ids[Math.floor(random() * ids.length)] ?? null;
}

function fresh(): string {
  return `${seed}-${++made}`;
}

/** Logs of many lengths, no two alike. */
function newLog(): string {
  return smallLog(40 + Math.floor(random() * 400)).replaceAll('-0.25,', `-0.${Math.floor(random() * 1e6)},`);
}

function freshSetting(note: string) {
  const { a } = workspace.candidates.get();
  return { name: `Setting ${fresh()}`, prop: '', performers: [], note, candidate: a, evidence: null };
}

async function mappingOf(id: string) {
  return (await workspace.preview([id], {}, {})).mapping;
}

/** Each does its thing and puts the outcome into the model; false where there is nothing to do it to. */
const DO: Record<Kind, () => Promise<boolean>> = {
  async upload() {
    const log = newLog();
    begin('upload');
    const half = log.length >> 1;
    const parts = [log.slice(0, half), log.slice(half)].map((part) => Buffer.from(part));
    const { uploadId } = await workspace.uploads.receive(`log ${fresh()}.csv`, Readable.from(parts));
    model.uploads[uploadId] = createHash('sha256').update(log).digest('hex');
    return true;
  },
  async add() {
    const id = pick(model.uploads);
    if (id === null) return false;
    const mapping = await mappingOf(id);
    begin('add', id);
    const take = { uploadIds: [id], mapping, title: `Take ${fresh()}`, performer: '', drill: '' };
    const document = await workspace.addTake(take, {});
    model.takes[document.id] = { notes: '', sha256: document.sources[0]!.sha256, isRemoved: false };
    delete model.uploads[id];
    return true;
  },
  async change() {
    const id = pick(model.takes, ({ isRemoved }) => !isRemoved);
    if (id === null) return false;
    const notes = begin('change', id, `notes ${fresh()} `.repeat(1 + Math.floor(random() * 200)));
    await workspace.takes.change(id, workspace.takes.get(id).revision, { notes });
    model.takes[id] = { ...model.takes[id]!, notes };
    return true;
  },
  async remove() {
    const id = pick(model.takes, ({ isRemoved }) => !isRemoved);
    if (id === null) return false;
    begin('remove', id);
    await workspace.takes.remove(id);
    model.takes[id] = { ...model.takes[id]!, isRemoved: true };
    return true;
  },
  async restore() {
    const id = pick(model.takes, ({ isRemoved }) => isRemoved);
    if (id === null) return false;
    begin('restore', id);
    await workspace.takes.restore(id);
    model.takes[id] = { ...model.takes[id]!, isRemoved: false };
    return true;
  },
  async reread() {
    const id = pick(model.takes, ({ isRemoved }) => !isRemoved);
    if (id === null) return false;
    const { mapping, revision } = workspace.takes.get(id);
    const mount = { tip: mapping.mount.tip === '+x' ? '-x' : '+x', side: '+y' } as const;
    begin('reread', id);
    await workspace.rereadTake(id, { revision, mapping: { ...mapping, mount }, dropsLabels: true }, {});
    return true;
  },
  async candidates() {
    const { revision, a, b } = workspace.candidates.get();
    const speedDps = 100 + Math.floor(random() * 300);
    begin('candidates', '', String(speedDps));
    await workspace.candidates.put(revision, { ...a, guard: { ...a.guard, speedDps } }, b);
    model.candidates = { revision: revision + 1, speedDps };
    return true;
  },
  async keep() {
    const note = begin('keep', '', `note ${fresh()}`);
    const { id } = await workspace.settings.add(freshSetting(note));
    model.settings[id] = { note, isRemoved: false };
    return true;
  },
  async putSetting() {
    const id = pick(model.settings, ({ isRemoved }) => !isRemoved);
    if (id === null) return false;
    const note = begin('putSetting', id, `note ${fresh()}`);
    await workspace.settings.put(id, workspace.settings.get(id).revision, freshSetting(note));
    model.settings[id] = { note, isRemoved: false };
    return true;
  },
  async removeSetting() {
    const id = pick(model.settings, ({ isRemoved }) => !isRemoved);
    if (id === null) return false;
    begin('removeSetting', id);
    await workspace.settings.remove(id);
    model.settings[id] = { ...model.settings[id]!, isRemoved: true };
    return true;
  },
  async restoreSetting() {
    const id = pick(model.settings, ({ isRemoved }) => isRemoved);
    if (id === null) return false;
    begin('restoreSetting', id);
    await workspace.settings.restore(id);
    model.settings[id] = { ...model.settings[id]!, isRemoved: false };
    return true;
  },
  async remember() {
    const name = begin('remember', '', `log ${fresh()}.csv`);
    const shape = [{ delimiter: ',', decimal: '.' as const, columns: ['t', name] }];
    await workspace.mappings.remember(shape, { rateHz: 100 }, name, new Date(0).toISOString());
    model.remembered.push(name);
    return true;
  },
  async export() {
    const takes = workspace.takes.list().length;
    begin('export', '', String(takes));
    await writeOutput(
      { option: '--out', path: zipPath, inputs: [] },
      await archiveOf(workspace, null, new Date(0).toISOString()),
    );
    model.exported = takes;
    return true;
  },
  async import() {
    if (model.exported === null) return false;
    begin('import');
    const archive = await openArchive(zipPath, 'shared.zip');
    const before = new Set(workspace.settings.list().map(({ id }) => id));
    try {
      for (const { id, sources, notes } of await importArchive(workspace, archive, 'shared.zip'))
        model.takes[id] = { notes, sha256: sources[0]!.sha256, isRemoved: false };
    } finally {
      archive.close();
    }
    for (const { id, note } of workspace.settings.list())
      if (!before.has(id)) model.settings[id] = { note, isRemoved: false };
    model.remembered.splice(0, Infinity, ...workspace.mappings.list().map(({ fileName }) => fileName));
    return true;
  },
  async record() {
    begin('record');
    const recorder = await Recorder.begin(join(path, 'recordings'), { ...START, joins: false });
    model.recordings[recorder.id] = 0;
    const log = Buffer.from(newLog());
    for (let at = 0; at < log.length; at += 500) {
      recorder.receive(log.subarray(at, at + 500));
      model.recordings[recorder.id] = recorder.sizeBytes;
      say({ done: 'record', model });
      if (at % 2000 === 0) await new Promise((resolve) => setTimeout(resolve, 1));
    }
    if (random() < 0.5) await recorder.end(true);
    model.recordings[recorder.id] = recorder.sizeBytes;
    return true;
  },
};

for (;;) {
  const kind = KINDS[Math.floor(random() * KINDS.length)]!;
  if (await DO[kind]()) say({ done: kind, model });
}
