import { appendFileSync, existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { Recorder } from '../../../server/store/recordings/recorder.ts';
import { LOG_NAME, readRecording, writeRecording } from '../../../server/store/recordings/recordingFiles.ts';
import type { Workspace } from '../../../server/store/workspace.ts';
import { smallLog } from '../smallLog.ts';
import { addSmallTake, temporaryWorkspace, uploadText } from '../temporaryWorkspace.ts';

const ABOUT = { source: 'a test', title: 'Carry', performer: 'Beginner', drill: 'carry', joins: false };
const NOBODY = { pid: 2 ** 30, started: null };

async function recorded(workspace: Workspace, text: string): Promise<Recorder> {
  const recorder = await Recorder.begin(workspace.recordings.root, ABOUT);
  recorder.receive(Buffer.from(text));
  return recorder;
}

/** As a process leaves it that is killed: the test itself is not, so what it would have said is put in its place. */
async function cutOff(workspace: Workspace, text: string): Promise<string> {
  const recorder = await recorded(workspace, '');
  await recorder.end(false);
  const document = await readRecording(recorder.folder);
  await writeRecording(recorder.folder, { ...document!, endedAt: null, owner: NOBODY });
  writeFileSync(join(recorder.folder, LOG_NAME), text);
  return recorder.folder;
}

test('one that has ended becomes a take with the same bytes, and goes', async () => {
  const workspace = await temporaryWorkspace();
  const recorder = await recorded(workspace, smallLog());
  await workspace.recordings.tend();
  expect(workspace.takes.list()).toEqual([]);
  await recorder.end(true);
  await workspace.recordings.tend();
  const [take] = workspace.takes.list();
  expect(take).toMatchObject({ title: 'Carry', performer: 'Beginner', drill: 'carry', pressCount: 1 });
  const { path } = await workspace.source(take!.id, 0);
  expect(readFileSync(path, 'utf8')).toBe(smallLog());
  expect(readdirSync(workspace.recordings.root)).toEqual([]);
  expect(workspace.recordings.keptTakes).toEqual([
    { recordingId: recorder.id, takeId: take!.id, title: 'Carry' },
  ]);
});

test('one that was cut off becomes a take without its last, unfinished line', async () => {
  const workspace = await temporaryWorkspace();
  await cutOff(workspace, smallLog().slice(0, -3));
  await workspace.recordings.tend();
  const [take] = workspace.takes.list();
  const { report, notes } = workspace.takes.get(take!.id);
  expect(report).toMatchObject({ rows: 99, badRowCount: 0 });
  const last = smallLog().trimEnd().split('\n').at(-1)!;
  expect(notes).toContain(`"${last.slice(0, -2)}"`);
});

test('one whose take is there already, as after a crash in between, is no second take', async () => {
  const workspace = await temporaryWorkspace();
  const { id } = await addSmallTake(workspace);
  await cutOff(workspace, smallLog());
  await workspace.recordings.tend();
  expect(workspace.takes.list().map((take) => take.id)).toEqual([id]);
  expect(readdirSync(workspace.recordings.root)).toEqual([]);
});

test('where the log leaves something open it stays, with what is asked, until it was added by hand', async () => {
  const workspace = await temporaryWorkspace();
  // No clock, and no rate: nobody can know how long it took.
  const text = smallLog().replace(/^[^,\n]*,/gm, '');
  const recorder = await recorded(workspace, text);
  await recorder.end(true);
  await workspace.recordings.tend();
  await workspace.recordings.tend();
  const [{ document, state }] = (await workspace.recordings.list()) as [never];
  expect([state, (document as { questions: string[] }).questions.length]).toEqual(['ended', 1]);
  expect(workspace.takes.list()).toEqual([]);

  const uploadId = await uploadText(workspace, text);
  const { mapping } = await workspace.preview([uploadId], { rateHz: 100 }, {});
  await workspace.addTake({ uploadIds: [uploadId], mapping, title: 'T', performer: '', drill: '' }, {});
  await workspace.recordings.tend();
  expect(await workspace.recordings.list()).toEqual([]);
  expect(workspace.takes.list()).toHaveLength(1);
});

test('what is no log stays as it came, and is asked about', async () => {
  const workspace = await temporaryWorkspace();
  const folder = await cutOff(workspace, '\0\0\0 no log');
  await workspace.recordings.tend();
  expect((await readRecording(folder))!.questions).toHaveLength(1);
  expect(readFileSync(join(folder, LOG_NAME), 'utf8')).toBe('\0\0\0 no log');
});

test('one to which nothing came goes; one that is being recorded stays and cannot be removed', async () => {
  const workspace = await temporaryWorkspace();
  await cutOff(workspace, '');
  const running = await recorded(workspace, smallLog());
  onTestFinished(() => running.end(true));
  await workspace.recordings.tend();
  expect(readdirSync(workspace.recordings.root)).toEqual([running.id]);
  await expect(workspace.recordings.remove(running.id)).rejects.toThrow('Stop it first');
  await expect(workspace.recordings.keep(running.id)).rejects.toThrow('Stop it first');
  await expect(workspace.recordings.remove('nothing')).rejects.toThrow('no such recording');
});

test('a folder that holds something else is left alone', async () => {
  const workspace = await temporaryWorkspace();
  const folder = await cutOff(workspace, smallLog());
  writeFileSync(join(folder, 'recording.json'), '{');
  appendFileSync(join(workspace.recordings.root, 'notes.txt'), 'mine');
  await workspace.recordings.tend();
  expect(existsSync(join(folder, LOG_NAME))).toBe(true);
  expect(workspace.takes.list()).toEqual([]);
});

test('a line cut off where the source goes away is no row, and a blank line parts what comes behind it', async () => {
  const workspace = await temporaryWorkspace();
  const recorder = await Recorder.begin(workspace.recordings.root, { ...ABOUT, joins: true });
  recorder.receive(Buffer.from('7,8\na,b\n1,2\n3,4'));
  recorder.lose();
  recorder.resume();
  recorder.receive(Buffer.from('.5\n5,6\n7,'));
  await recorder.end(false);
  expect(readFileSync(join(recorder.folder, LOG_NAME), 'utf8')).toBe('a,b\n1,2\n\n5,6\n');
  const { events } = (await readRecording(recorder.folder))!;
  expect(events.map(({ kind, atByte, text }) => [kind, atByte, text])).toEqual([
    ['joined', 0, '7,8'],
    ['cut', 8, '3,4'],
    ['lost', 8, undefined],
    ['back', 9, undefined],
    ['joined', 9, '.5'],
    ['cut', 13, '7,'],
  ]);
});
