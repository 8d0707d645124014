import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, onTestFinished, test } from 'vitest';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import { computeMotion } from '../../server/engine/motion/motion.ts';
import { type DrillItem, planDrills } from '../../server/engine/plan/drillPlan.ts';
import { takeStock } from '../../server/engine/plan/takeStock.ts';
import { findTruth } from '../../server/engine/truth/truth.ts';
import { DRILL_WORDS, drillAmount } from '../../server/engine/words/plan.ts';
import type { WorkspaceBody } from '../../server/http/schemas.ts';
import { previewAndRead } from '../../server/ingest/preview/preview.ts';
import { Recorder } from '../../server/store/recordings/recorder.ts';
import { RECORDINGS_FOLDER, STOP_NAME } from '../../server/store/recordings/recordingFiles.ts';
import { HEADER, liveRows } from '../cli/record/liveLog.ts';
import { describeInBrowser, type Workbench } from './harness.ts';

const ABOUT = { source: '/dev/prop', title: 'Rehearsal', performer: 'Lead spinner', drill: '', joins: false };

/** As `record` does in a process of its own. */
async function begin(bench: Workbench, about: Partial<typeof ABOUT> = {}): Promise<Recorder> {
  const recorder = await Recorder.begin(join(bench.workspace, RECORDINGS_FOLDER), { ...ABOUT, ...about });
  onTestFinished(() => recorder.end(true).catch(() => {}));
  return recorder;
}

describeInBrowser('Live', { withDemo: false }, (bench) => {
  test('a recording is shown as it comes, judged, stopped from the page, and is a take', async () => {
    const page = await bench.openPage('/#view=live');
    await page.getByText('Nothing is being recorded').waitFor();
    const recorder = await begin(bench);
    recorder.receive(Buffer.from(HEADER + liveRows(0, 1500)));
    await page.getByRole('heading', { name: 'Rehearsal' }).waitFor();
    // It lies on its table, and has to for half a second more.
    await page.getByText('Keep still: 1').waitFor();
    const fact = (name: string) => page.locator(`[data-fact="${name}"]`).textContent();
    await expect.poll(() => fact('Rows')).toBe('1500');

    recorder.receive(Buffer.from(liveRows(1500, 1000)));
    await expect.poll(() => fact('Guard A')).toBe('closed');
    expect(await fact('Deflections A, B')).toBe('1, 1');
    expect(await fact('Rate')).toBe('1000 Hz');
    expect(await fact('Lost rows')).toBe('0');
    await page.locator('[data-next="still"]').waitFor();
    await page.locator('.live-staves canvas[data-row-us="2499000"]').waitFor();
    // The press of row 2301 comes before the swing is fast enough for the guard: it gets through.
    await expect.poll(() => page.locator('.blade-stage canvas').getAttribute('data-light')).toBe('dark dark');

    recorder.lose();
    await page.getByText('The source is away').waitFor();
    recorder.resume();
    recorder.receive(Buffer.from(liveRows(3000, 1000)));
    await expect.poll(() => fact('Lost rows')).toBe('500, 1 gap');
    await page.getByText('The source is away').waitFor({ state: 'detached' });

    await page.getByRole('button', { name: 'Stop and keep' }).click();
    await expect.poll(() => existsSync(join(recorder.folder, STOP_NAME))).toBe(true);
    await recorder.end(false);
    await page.getByText('“Rehearsal” is a take now.').waitFor();
    await page.locator('.take-title', { hasText: 'Rehearsal' }).waitFor();
    expect(bench.errors).toEqual([]);
  });

  test('what a recording leaves open is asked in the dialog of a dropped file, and it goes once it is a take', async () => {
    const page = await bench.openPage('/#view=live');
    const recorder = await begin(bench, { title: 'Without a clock' });
    recorder.receive(Buffer.from((HEADER + liveRows(0, 4000)).replace(/^[^,\n]*,/gm, '')));
    await page.getByText('give the sample rate').waitFor();
    await recorder.end(true);
    await page.getByRole('button', { name: 'Answer, and add it' }).click();
    const dialog = page.getByRole('dialog');
    await dialog.getByLabel('Rate').first().fill('1000');
    await dialog.getByLabel('Rate').first().press('Tab');
    await dialog.getByRole('button', { name: /Add this take/ }).click();
    await expect.poll(() => existsSync(recorder.folder)).toBe(false);
    await page.locator('.take-title', { hasText: 'Without a clock' }).waitFor();
    expect(bench.errors).toEqual([]);
  });

  test('drills are ticked off while they are recorded, as the plan will count the take', async () => {
    const path = fileURLToPath(new URL('../../fixtures/spinner-full-routine.csv', import.meta.url));
    const log = readFileSync(path);
    const items = await drillsOf(log);
    const ticked = items.filter(({ status }) => status === 'done').map(({ id }) => id);
    expect(ticked.length).toBeGreaterThan(0);
    const next = items.find(({ status, performer }) => status === 'missing' && performer !== null)!;
    const page = await bench.openPage('/#view=live');
    const recorder = await begin(bench, { performer: 'Lead spinner' });
    recorder.receive(log);
    await page.locator(`[data-ticked="${ticked.join(' ')}"]`).waitFor();
    const { name } = DRILL_WORDS[next.id];
    await page.getByText(`${name}: ${drillAmount(next.id, next.need - next.have)} more`).waitFor();
    expect(bench.errors).toEqual([]);
  });

  test('the page itself reads a serial port, where the browser has them', async () => {
    const text = HEADER + liveRows(0, 3000);
    const page = await bench.openPage('/#view=live', {}, async (own) => {
      await own.addInitScript(pretendPort, text);
    });
    await page.getByLabel('Performer').fill('Stage duellist');
    await page.getByRole('button', { name: 'Record from a port…' }).click();
    await page.getByText('from a serial port of the page, Stage duellist').waitFor();
    await expect.poll(() => page.locator('[data-fact="Rows"]').textContent()).toBe('3000');
    await page.getByRole('button', { name: 'Stop and keep' }).click();
    const takeOfPage = async () => {
      const { takes }: WorkspaceBody = await (await fetch(`${bench.server.address}/api/workspace`)).json();
      return takes.find(({ performer }) => performer === 'Stage duellist');
    };
    await expect.poll(takeOfPage).toBeDefined();
    const take = await takeOfPage();
    const source = await fetch(`${bench.server.address}/api/takes/${take!.id}/source/0`);
    expect((await source.text()) === text).toBe(true);
    expect(await page.evaluate(() => document.documentElement.dataset['port'])).toBe('closed at 115200');
    expect(bench.errors).toEqual([]);
  });
});

/** The plan for a workspace that holds this log alone, nothing of it labelled. */
async function drillsOf(log: Buffer): Promise<readonly DrillItem[]> {
  const source = {
    name: 'log.csv',
    sizeBytes: log.length,
    open: async function* () {
      yield log;
    },
  };
  const { preview, take } = await previewAndRead([source], {}, {});
  const calibration = { ...DEFAULT_CALIBRATION, mount: preview.mapping.mount };
  const motion = computeMotion(buildTimeBase(take!.log).uniform, calibration);
  const stock = takeStock(motion, findTruth(motion, EMPTY_LABELS), EMPTY_LABELS, []);
  return planDrills([{ performer: 'Lead spinner', stock, isFit: true }]).items;
}

/** Runs in the page: the user chooses a port whose device sends a text. */
function pretendPort(text: string): void {
  const bytes = new TextEncoder().encode(text);
  let rate = 0;
  const port = {
    readable: null as ReadableStream<Uint8Array> | null,
    open: async ({ baudRate }: { baudRate: number }) => {
      rate = baudRate;
      let at = 0;
      port.readable = new ReadableStream({
        pull: (source) => {
          // As a device does that has nothing more to say: it stays silent.
          if (at >= bytes.length) return new Promise(() => {});
          source.enqueue(bytes.slice(at, at + 1000));
          at += 1000;
        },
      });
    },
    close: async () => {
      document.documentElement.dataset['port'] = `closed at ${rate}`;
    },
  };
  Object.defineProperty(navigator, 'serial', { value: { requestPort: async () => port } });
}
