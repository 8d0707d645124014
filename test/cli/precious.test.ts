import { mkdirSync, readFileSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { run as data } from '../../server/cli/data.ts';
import { run as evaluate } from '../../server/cli/evaluate.ts';
import { run as exportSetting } from '../../server/cli/export.ts';
import { run as gate } from '../../server/cli/gate.ts';
import { run as share } from '../../server/cli/share.ts';
import { formatCandidateFile } from '../../server/engine/settings/candidateFile.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { inlineIngest } from '../../server/store/ingestTasks.ts';
import { Recorder } from '../../server/store/recordings/recorder.ts';
import { Workspace } from '../../server/store/workspace.ts';
import { smallLog } from '../store/smallLog.ts';
import { addSmallTake } from '../store/temporaryWorkspace.ts';
import { makeFolder, runCli } from './runCli.ts';

const folder = makeFolder();
afterAll(folder.remove);

const WORKSPACE = folder.path('workspace');
const inWorkspace = (...names: string[]) => join(WORKSPACE, ...names);
/** All that a command must not write over: a place in words, and its path. */
const precious: [string, string][] = [];

beforeAll(async () => {
  const workspace = await Workspace.open(WORKSPACE, { ingest: inlineIngest() });
  const [kept, removed] = [await addSmallTake(workspace), await addSmallTake(workspace)];
  await workspace.takes.remove(removed.id);
  const { revision, a, b } = workspace.candidates.get();
  await workspace.candidates.put(revision, a, b);
  const names = { source: 'port', title: 'Live', performer: '', drill: '', joins: false };
  const recorder = await Recorder.begin(inWorkspace('recordings'), names);
  recorder.receive(Buffer.from(smallLog()));
  await recorder.end(true);
  await workspace.close();
  folder.write('other.csv', smallLog(150));
  folder.write('setting.json', formatCandidateFile(DEFAULT_CANDIDATE));
  mkdirSync(folder.path('logs'));
  folder.write('logs/take.csv', smallLog());
  folder.write(
    'logs/take.labels.json',
    JSON.stringify({ presses: [{ button: 'power_button', downUs: 200_000, intent: 'stray' }] }),
  );
  symlinkSync(folder.path('other.csv'), folder.path('soft.csv'));
  precious.push(
    ['the source of a take', inWorkspace('takes', kept.id, 'source', 'log.csv')],
    ['the document of a take', inWorkspace('takes', kept.id, 'take.json')],
    ['the source of a removed take', inWorkspace('trash', removed.id, 'source', 'log.csv')],
    ['a recording that waits', join(recorder.folder, 'log.csv')],
    ['candidates', inWorkspace('candidates.json')],
    ['the workspace itself', inWorkspace('workspace.json')],
    ['a recording that the command does not read', folder.path('other.csv')],
    ['the same through a link', folder.path('soft.csv')],
  );
});

const COMMANDS = [
  [
    'evaluate --channels',
    (out: string) => runCli(evaluate, folder.path('logs/take.csv'), '--accept-unfit', '--channels', out),
  ],
  [
    'gate --junit',
    (out: string) =>
      runCli(
        gate,
        '--takes',
        folder.path('logs'),
        '--accept-unjudged',
        '--max-slips',
        '99',
        '--max-refused',
        '99',
        '--junit',
        out,
      ),
  ],
  ['share --out', (out: string) => runCli(share, '--workspace', WORKSPACE, '--out', out)],
] as const;

test.each(COMMANDS)('%s writes over nothing that cannot be made again', async (_name, runWith) => {
  for (const [what, path] of precious) {
    const before = readFileSync(path);
    const { code, err } = await runWith(path);
    expect([what, code]).toEqual([what, 2]);
    expect(err).toMatch(/would be overwritten|only the program itself writes/);
    expect(readFileSync(path).equals(before), what).toBe(true);
  }
});

test('export writes no setting over candidates of a workspace, and no template over a recording of its name', async () => {
  const candidates = readFileSync(inWorkspace('candidates.json'));
  const named = await runCli(exportSetting, '--as', 'json', '--name', 'candidates', '--out', WORKSPACE);
  expect(named.code).toBe(2);
  expect(readFileSync(inWorkspace('candidates.json')).equals(candidates)).toBe(true);
  mkdirSync(folder.path('templates'));
  const template = folder.write('templates/other.csv', 'speed {{guard.speedDps}}\n');
  const over = await runCli(
    exportSetting,
    '--as',
    'template',
    '--template',
    template,
    '--out',
    folder.path('.'),
  );
  expect([over.code, over.err]).toEqual([2, expect.stringContaining('holds a recording')]);
  expect(readFileSync(folder.path('other.csv'), 'utf8')).toBe(smallLog(150));
});

test('data writes over no file that it reads, though a link in its place leads there', async () => {
  for (const [kind, from] of [
    ['channels', 'logs/take.csv'],
    ['events', 'setting.json'],
  ] as const) {
    const out = folder.path(`out-${kind}`);
    const place = join(out, kind, 'performer=__HIVE_DEFAULT_PARTITION__', 'take=take.csv');
    mkdirSync(place, { recursive: true });
    symlinkSync(folder.path(from), join(place, `${kind}.csv`));
    const before = readFileSync(folder.path(from));
    const argv = [
      '--takes',
      folder.path('logs'),
      '--setting',
      folder.path('setting.json'),
      '--as',
      'csv',
      '--out',
      out,
    ];
    const { code, err } = await runCli(data, ...argv);
    expect([code, err]).toEqual([2, expect.stringContaining('would be overwritten')]);
    expect(readFileSync(folder.path(from)).equals(before)).toBe(true);
  }
});

test('what the program wrote itself is written anew', async () => {
  const out = folder.path('channels.csv');
  for (let turn = 0; turn < 2; ++turn)
    expect(
      (await runCli(evaluate, folder.path('logs/take.csv'), '--accept-unfit', '--channels', out)).code,
    ).toBe(0);
});
