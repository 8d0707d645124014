import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, onTestFinished, test } from 'vitest';
import { pause } from '../../../server/cli/record/source.ts';
import { inlineIngest } from '../../../server/store/ingestTasks.ts';
import { LOG_NAME, RECORDINGS_FOLDER } from '../../../server/store/recordings/recordingFiles.ts';
import { Workspace } from '../../../server/store/workspace.ts';
import { ensureBuilt, launchServer, makeEmptyWorkspace } from '../../scripts/builtServer.ts';
import { smallLog } from '../../store/smallLog.ts';
import { makeFolder } from '../../store/temporaryFolder.ts';
import { HEADER, liveRows, RATE_HZ } from './liveLog.ts';
import { HAS_PSEUDO_DEVICES, type PseudoDevice, pseudoDevices } from './pseudoDevice.ts';

const CLI = fileURLToPath(new URL('../../../scripts/cli.mjs', import.meta.url));
const NEVER = new AbortController().signal;

beforeAll(ensureBuilt, 180_000);

test('standard input becomes a take, byte for byte', async () => {
  const workspacePath = folderOfTest();
  const { child, output } = start('-', '--workspace', workspacePath, '--title', 'Carry', '--drill', 'carry');
  child.stdin!.end(smallLog());
  expect(await codeOf(child)).toBe(0);
  expect(output()).toContain('Added as the take "Carry"');
  await withWorkspace(workspacePath, async (workspace) => {
    const [take] = workspace.takes.list();
    expect(take).toMatchObject({ title: 'Carry', drill: 'carry', rateHz: 100 });
    expect(readFileSync((await workspace.source(take!.id, 0)).path, 'utf8')).toBe(smallLog());
  });
});

test('what the log leaves open is said, and the recording stays', async () => {
  const workspacePath = folderOfTest();
  const { child, output } = start('-', '--workspace', workspacePath);
  child.stdin!.end(smallLog().replace(/^[^,\n]*,/gm, ''));
  expect(await codeOf(child)).toBe(1);
  expect(output()).toContain('no take yet');
  expect(output()).toMatch(/\n- .*rate/);
  expect(readdirSync(join(workspacePath, 'recordings'))).toHaveLength(1);
});

test.each([
  [[], 'name one device'],
  [['a', 'b'], 'name one device'],
  [['-', '--baud', 'fast'], '--baud must be a whole number, got "fast"'],
  [['-', '--speed', '5'], "Unknown option '--speed'"],
])('%j is misuse', async (args, words) => {
  const { child, output } = start(...args);
  child.stdin!.end();
  expect(await codeOf(child)).toBe(2);
  expect(output()).toContain(words);
});

test('a folder that holds other things is not written into', async () => {
  const { folder, remove } = makeFolder();
  onTestFinished(remove);
  writeFileSync(join(folder, 'letter.txt'), 'mine');
  const { child, output } = start('-', '--workspace', folder);
  child.stdin!.end(smallLog());
  expect(await codeOf(child)).toBe(1);
  expect(output()).toContain('is no workspace: it holds letter.txt');
  expect(readdirSync(folder)).toEqual(['letter.txt']);
});

test('where a server has the workspace open, it makes the take', async () => {
  const workspacePath = folderOfTest();
  makeEmptyWorkspace(workspacePath);
  const server = await launchServer(workspacePath);
  onTestFinished(async () => void (await server.stop()));
  const { child, output } = start('-', '--workspace', workspacePath, '--title', 'Carry');
  child.stdin!.end(smallLog());
  expect(await codeOf(child)).toBe(0);
  expect(output()).toContain('by the server');
  const { takes } = await (await fetch(`${server.address}/api/workspace`)).json();
  expect(takes).toMatchObject([{ title: 'Carry' }]);
});

describe.runIf(HAS_PSEUDO_DEVICES)('a program that is killed while it records a device', () => {
  let plugIn: (path: string) => Promise<PseudoDevice>;
  const { folder, remove } = makeFolder();
  beforeAll(() => {
    plugIn = pseudoDevices(folder);
  });
  afterAll(remove);

  test('loses a second at most: the rest is a take, and the one before is as it was', async () => {
    const workspacePath = folderOfTest();
    const earlier = start('-', '--workspace', workspacePath, '--title', 'Earlier');
    earlier.child.stdin!.end(smallLog());
    expect(await codeOf(earlier.child)).toBe(0);
    const before = bytesOf(workspacePath);

    const device = await plugIn(join(folder, 'killed'));
    const { child, output } = start(device.path, '--workspace', workspacePath, '--title', 'Killed');
    await untilSaid(child, output, 'Recording to');
    await device.send(HEADER);
    let sent = HEADER;
    for (let row = 0; row < 3 * RATE_HZ; row += 20) {
      sent += liveRows(row, 20);
      await device.send(liveRows(row, 20));
      await pause(20, NEVER);
    }
    child.kill('SIGKILL');
    await once(child, 'exit');
    await device.pull();

    await withWorkspace(workspacePath, async (workspace) => {
      await workspace.recordings.tend();
      const [, take] = workspace.takes.list();
      expect(take).toMatchObject({ title: 'Killed', rateHz: RATE_HZ });
      const { path } = await workspace.source(take!.id, 0);
      const log = readFileSync(path, 'utf8');
      expect(sent.startsWith(log)).toBe(true);
      expect(log.endsWith('\n')).toBe(true);
      expect(sent.slice(log.length).split('\n').length - 1).toBeLessThan(RATE_HZ);
      expect(readdirSync(workspace.recordings.root)).toEqual([]);
    });
    expect(bytesOf(workspacePath)).toMatchObject(before);
  });

  test('one that is interrupted ends in good order', async () => {
    const workspacePath = folderOfTest();
    const device = await plugIn(join(folder, 'interrupted'));
    const { child, output } = start(device.path, '--workspace', workspacePath);
    await untilSaid(child, output, 'Recording to');
    const rows = HEADER + liveRows(0, 500);
    await device.send(rows);
    const root = join(workspacePath, RECORDINGS_FOLDER);
    const log = join(root, readdirSync(root)[0]!, LOG_NAME);
    while (statSync(log).size < rows.length) await pause(5, NEVER);
    await device.pull();
    await untilSaid(child, output, 'waiting for it');
    child.kill('SIGINT');
    expect(await codeOf(child)).toBe(0);
    await withWorkspace(workspacePath, async (workspace) => {
      expect(workspace.takes.list()).toMatchObject([{ rateHz: RATE_HZ }]);
    });
  });
});

function folderOfTest(): string {
  const { folder, remove } = makeFolder();
  onTestFinished(remove);
  return join(folder, 'workspace');
}

function start(...args: readonly string[]): { child: ChildProcess; output: () => string } {
  const child = spawn(process.execPath, [CLI, 'record', ...args], { stdio: ['pipe', 'pipe', 'pipe'] });
  onTestFinished(() => void child.kill('SIGKILL'));
  let text = '';
  for (const stream of [child.stdout, child.stderr])
    stream.on('data', (chunk) => {
      text += chunk;
    });
  return { child, output: () => text };
}

async function untilSaid(child: ChildProcess, output: () => string, text: string): Promise<void> {
  while (!output().includes(text)) {
    if (child.exitCode !== null) throw new Error(`it ended without "${text}": ${output()}`);
    await pause(5, NEVER);
  }
}

async function codeOf(child: ChildProcess): Promise<number | null> {
  const [code] = await once(child, 'close');
  return code;
}

async function withWorkspace(path: string, use: (workspace: Workspace) => Promise<void>): Promise<void> {
  const workspace = await Workspace.open(path, { ingest: inlineIngest() });
  try {
    await use(workspace);
  } finally {
    await workspace.close();
  }
}

/** The files of the takes that are there, by their paths. */
function bytesOf(workspacePath: string): Record<string, string> {
  const root = join(workspacePath, 'takes');
  const files = readdirSync(root, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile());
  return Object.fromEntries(
    files.map((entry) => {
      const path = join(entry.parentPath, entry.name);
      return [path, readFileSync(path, 'latin1')];
    }),
  );
}
