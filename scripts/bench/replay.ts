import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type Page } from 'playwright-core';
import { quantileSorted } from '../../server/engine/statistics/sorted.ts';
import { findBrowser } from '../findBrowser.mjs';
import type { Print } from './pair.ts';
import { serve } from './served.ts';

const SECONDS = 10;

/**
 * Frame times of a replay in a browser without a window and without a graphics card: the time from one frame to the next
 * while it plays, the script of a frame, and the processor time of the main thread, for the large view with two candidates
 * and for the card beside the staves.
 */
export async function benchReplay(print: Print): Promise<void> {
  const executablePath = findBrowser();
  if (executablePath === null) return print('no Chromium or Chrome was found');
  const folder = mkdtempSync(join(tmpdir(), 'moulinet-bench-'));
  const served = await serve(join(folder, 'workspace'));
  const browser = await chromium.launch({ executablePath });
  try {
    for (const take of ['Wall-plane', 'Thrust line'])
      for (const view of ['replay', 'tune'] as const) {
        const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
        await page.goto(`${served.address}/#view=${view}`);
        await page.locator('.take', { hasText: take }).click({ timeout: 120_000 });
        if (view === 'tune') await page.locator('.replay-fold summary').click();
        await page.locator('canvas[data-light]').waitFor({ timeout: 60_000 });
        // The list's badges are computed in another thread: let it come to rest.
        await page.waitForTimeout(10_000);
        const session = await page.context().newCDPSession(page);
        // Processor time, which other work on the machine leaves as it is.
        await session.send('Performance.enable', { timeDomain: 'threadTicks' });
        const workMs = async (): Promise<number> => {
          const { metrics } = await session.send('Performance.getMetrics');
          return 1000 * metrics.find(({ name }) => name === 'TaskDuration')!.value;
        };
        const beforeMs = await workMs();
        const { frames, scripts } = await playedFrames(page);
        const ofFrameMs = ((await workMs()) - beforeMs) / frames.length;
        const told = (values: readonly number[]) => {
          const sorted = Float64Array.from(values).sort();
          return `median ${quantileSorted(sorted, 0.5).toFixed(1)} ms, 95th percentile ${quantileSorted(sorted, 0.95).toFixed(1)} ms`;
        };
        print(
          `${take}, ${view}: from frame to frame ${told(frames)}; script of a frame ${told(scripts)}; processor time of the page's ` +
            `main thread ${ofFrameMs.toFixed(1)} ms a frame in the mean`,
        );
        await page.close();
      }
  } finally {
    await browser.close();
    await served.stop();
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Plays for some seconds from where a replay opens, the first wrong moment, which is in the midst of a spin; all in milliseconds. */
async function playedFrames(page: Page): Promise<{ frames: number[]; scripts: number[] }> {
  await page.locator('.story-slider').focus();
  await page.keyboard.press('Space');
  return page.evaluate(
    (seconds) =>
      new Promise((done) => {
        const frames: number[] = [];
        const scripts: number[] = [];
        const asked = window.requestAnimationFrame.bind(window);
        // Every callback of a frame is timed, the replay's own and the page's.
        window.requestAnimationFrame = (callback) =>
          asked((ms) => {
            const sinceMs = performance.now();
            callback(ms);
            scripts.push(performance.now() - sinceMs);
          });
        let lastMs: number | null = null;
        const watch = (ms: number): void => {
          if (lastMs !== null) frames.push(ms - lastMs);
          lastMs = ms;
          if (frames.reduce((sum, one) => sum + one, 0) < seconds * 1000) asked(watch);
          else done({ frames, scripts });
        };
        asked(watch);
      }),
    SECONDS,
  );
}
