import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, onTestFinished, test } from 'vitest';
import { serialDevice } from '../../../server/cli/record/serialSource.ts';
import { record } from '../../../server/cli/record/session.ts';
import { pause } from '../../../server/cli/record/source.ts';
import { inlineIngest } from '../../../server/store/ingestTasks.ts';
import type { Recorder } from '../../../server/store/recordings/recorder.ts';
import {
  LOG_NAME,
  RECORDINGS_FOLDER,
  readRecording,
} from '../../../server/store/recordings/recordingFiles.ts';
import { Workspace } from '../../../server/store/workspace.ts';
import { makeFolder } from '../../store/temporaryFolder.ts';
import { HEADER, liveRows, RATE_HZ } from './liveLog.ts';
import { HAS_PSEUDO_DEVICES, type PseudoDevice, pseudoDevices } from './pseudoDevice.ts';

const BAUD = 115_200;
const ABOUT = { title: 'Live', performer: 'Beginner', drill: 'carry' };

describe.runIf(HAS_PSEUDO_DEVICES)('a serial device', () => {
  let plugIn: (path: string) => Promise<PseudoDevice>;
  const { folder, remove } = makeFolder();
  beforeAll(() => {
    plugIn = pseudoDevices(folder);
  });
  afterAll(remove);

  test('ten seconds at 1 kHz arrive byte for byte, and are a take', async () => {
    const device = await plugIn(join(folder, 'ten-seconds'));
    const recording = begin(device.path);
    await device.send(HEADER);
    const startMs = performance.now();
    let sent = HEADER;
    for (let row = 0; row < 10 * RATE_HZ; ) {
      const due = Math.min(10 * RATE_HZ, Math.ceil(((performance.now() - startMs) / 1000) * RATE_HZ));
      const rows = liveRows(row, Math.max(0, due - row));
      row = Math.max(row, due);
      sent += rows;
      if (rows !== '') await device.send(rows);
      await pause(5, NEVER);
    }
    await recording.until(({ bytes }) => bytes === sent.length);
    await device.pull();
    const { recorder, workspacePath } = await recording.end();
    const log = readFileSync(join(recorder.folder, LOG_NAME), 'utf8');
    expect(log === sent).toBe(true);
    const take = await keep(workspacePath, recorder);
    expect(take.report).toMatchObject({ rows: 10 * RATE_HZ, badRowCount: 0, gaps: 0, longSteps: 0 });
    expect(take.report.rateHz).toBeCloseTo(RATE_HZ, 6);
    expect(take).toMatchObject(ABOUT);
  });

  test('a cable that is pulled ten times in the middle of a row leaves ten gaps in one take', async () => {
    const path = join(folder, 'pulled');
    const recording = begin(path, await plugIn(path));
    const expected = [HEADER];
    let sent = 0;
    for (let pull = 0; pull <= 10; ++pull) {
      const device = pull === 0 ? recording.device! : await plugIn(path);
      // The device's clock goes on meanwhile: it has a battery of its own.
      const from = pull * 1000;
      const rows = liveRows(from, 400);
      if (pull > 0) await recording.until(({ backs }) => backs === pull);
      // It sends all the time, so listening begins in the middle of a row.
      const before = pull === 0 ? HEADER : liveRows(from - 1, 1).slice(5);
      const text = before + rows + liveRows(from + 400, 1).slice(0, 23);
      await device.send(text);
      expected.push(pull === 0 ? rows : `\n${rows}`);
      sent += text.length;
      await recording.until(({ bytes }) => bytes === sent);
      await device.pull();
      await recording.until(({ losses }) => losses === pull + 1);
    }
    const { recorder, workspacePath } = await recording.end();
    expect(readFileSync(join(recorder.folder, LOG_NAME), 'utf8')).toBe(expected.join(''));
    const document = await readRecording(recorder.folder);
    const kinds = document!.events.map(({ kind }) => kind);
    expect(kinds.filter((kind) => kind === 'cut')).toHaveLength(11);
    expect(kinds.filter((kind) => kind === 'joined')).toHaveLength(10);
    const { report, notes } = await keep(workspacePath, recorder);
    expect(report).toMatchObject({ rows: 11 * 400, badRowCount: 0, gaps: 10 });
    // A row each 1 ms, and 601 steps from the last before a gap to the first behind it.
    expect(report.gapList.map(({ startS, endS }) => Math.round(1000 * (endS - startS)))).toEqual(
      Array(10).fill(601),
    );
    expect(notes).toContain('The source was away');
  });

  test('a device that starts anew, with its header and its clock, goes on behind a gap', async () => {
    const path = join(folder, 'anew');
    const recording = begin(path, await plugIn(path));
    for (let start = 0; start < 3; ++start) {
      const device = start === 0 ? recording.device! : await plugIn(path);
      if (start > 0) await recording.until(({ backs }) => backs === start);
      const text = HEADER + liveRows(0, 2500);
      await device.send(text);
      await recording.until(({ bytes }) => bytes === (start + 1) * text.length);
      await device.pull();
      await recording.until(({ losses }) => losses === start + 1);
    }
    const { recorder, workspacePath } = await recording.end();
    const { report } = await keep(workspacePath, recorder);
    expect(report).toMatchObject({ rows: 7500, gaps: 2 });
    expect(report.badRows.map(({ why }) => why)).toEqual(['the header again', 'the header again']);
    // Every stretch keeps its own length.
    expect(report.durationS).toBeCloseTo(3 * 2.499 + 2 * 0.004, 6);
    expect(report.warnings.join(' ')).toContain('anew');
  });

  test('a path that is no serial device is refused at once', () => {
    expect(() => serialDevice(join(folder, 'nothing'), BAUD)).toThrow('Is it plugged in?');
    expect(() => serialDevice('/dev/null', BAUD)).toThrow('/dev/null is no serial device');
  });

  test('a speed that no device has is refused, and the speed named', async () => {
    const device = await plugIn(join(folder, 'odd-speed'));
    expect(() => serialDevice(device.path, 12_345)).toThrow('cannot be set to 12345 baud');
    await device.pull();
  });
});

const NEVER = new AbortController().signal;

interface Counts {
  readonly losses: number;
  readonly backs: number;
  /** All that came. */
  readonly bytes: number;
}

/** Records a device until it is told to end. */
function begin(path: string, device: PseudoDevice | null = null) {
  const { folder, remove } = makeFolder();
  onTestFinished(remove);
  const stop = new AbortController();
  const counts = { losses: 0, backs: 0 };
  let recorder: Recorder | null = null;
  const teller = {
    began: (own: Recorder) => {
      recorder = own;
    },
    lost: () => void ++counts.losses,
    back: () => void ++counts.backs,
  };
  const workspacePath = join(folder, 'workspace');
  const root = join(workspacePath, RECORDINGS_FOLDER);
  const done = record(serialDevice(path, BAUD), root, ABOUT, teller, stop.signal);
  return {
    device,
    until: async (isSo: (counts: Counts) => boolean): Promise<void> => {
      const now = () => ({ ...counts, bytes: recorder?.receivedBytes ?? 0 });
      while (!isSo(now())) await Promise.race([pause(2, NEVER), done]);
    },
    end: async () => {
      stop.abort();
      return { recorder: await done, workspacePath };
    },
  };
}

async function keep(workspacePath: string, recorder: Recorder) {
  const workspace = await Workspace.open(workspacePath, { ingest: inlineIngest() });
  try {
    const kept = await workspace.recordings.keep(recorder.id);
    expect(kept).toMatchObject({ kind: 'take' });
    expect(readdirSync(workspace.recordings.root)).toEqual([]);
    return workspace.takes.get((kept as { takeId: string }).takeId);
  } finally {
    await workspace.close();
  }
}
