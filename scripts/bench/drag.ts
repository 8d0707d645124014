import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type Page } from 'playwright-core';
import { upperMedian } from '../../server/engine/statistics/sorted.ts';
import { findBrowser } from '../findBrowser.mjs';
import { seededNormal } from '../simulate/random.ts';
import type { Print } from './pair.ts';
import { addTake, serve } from './served.ts';

const FRAME_MS = 1000 / 60;
const STEPS = 60;

/**
 * Script time of one step of a threshold drag on a take of 10 minutes at 1 kHz, in a browser without a window: the
 * growth of the browser's own ScriptDuration from before a pointer move to two frames after it, against the same move
 * with no button down.
 */
export async function benchDrag(print: Print): Promise<void> {
  const executablePath = findBrowser();
  if (executablePath === null) return print('no Chromium or Chrome was found');
  const folder = mkdtempSync(join(tmpdir(), 'moulinet-bench-'));
  const served = await serve(join(folder, 'workspace'));
  try {
    const words = { title: 'Ten minutes', performer: 'bench', drill: '' };
    const takeId = await addTake(served.address, longLog(), words);
    const browser = await chromium.launch({ executablePath });
    try {
      const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
      await page.goto(`${served.address}/#take=${takeId}`);
      await page.locator('[data-threshold="a.guard.speedDps"]').waitFor({ timeout: 120_000 });
      // The list's badges are computed in the second thread: let it come to rest.
      await page.waitForTimeout(15_000);
      for (const path of ['guard.speedDps', 'deflection.speedDps']) await dragOne(page, path, print);
    } finally {
      await browser.close();
    }
  } finally {
    await served.stop();
    rmSync(folder, { recursive: true, force: true });
  }
}

async function dragOne(page: Page, path: string, print: Print): Promise<void> {
  const tag = (await page.locator(`[data-threshold="a.${path}"] .tag`).boundingBox())!;
  const at = { x: tag.x + tag.width / 2, y: tag.y + tag.height / 2 };
  const session = await page.context().newCDPSession(page);
  await session.send('Performance.enable');
  const scriptMs = async (): Promise<number> => {
    const { metrics } = await session.send('Performance.getMetrics');
    return metrics.find((metric) => metric.name === 'ScriptDuration')!.value * 1000;
  };
  const moves = async (): Promise<number[]> => {
    const costs: number[] = [];
    for (let step = 0; step < STEPS; ++step) {
      at.y += step % 20 < 10 ? -3 : 3;
      const before = await scriptMs();
      await page.mouse.move(at.x, at.y);
      await page.evaluate(
        () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))),
      );
      costs.push((await scriptMs()) - before);
    }
    return costs;
  };
  const idle = upperMedian(await moves());
  await page.mouse.move(at.x, at.y);
  await page.mouse.down();
  const dragged = await moves();
  await page.mouse.up();
  const p90 = [...dragged].sort((a, b) => a - b)[Math.floor(STEPS * 0.9)]!;
  const share = upperMedian(dragged) / FRAME_MS;
  print(
    `drag ${path}, 10 min at 1 kHz: ${share.toFixed(2)} of a 60 Hz frame (${upperMedian(dragged).toFixed(1)} ms of script, ` +
      `90th percentile ${p90.toFixed(1)}; the same moves without a drag ${idle.toFixed(1)} ms; target ≤ 1)`,
  );
}

/** Spins of 20 s with a pause of 10 s, a press every 5 s. */
function longLog(): string {
  const normal = seededNormal(4);
  const lines = ['time_ms,ax_g,ay_g,az_g,gx_dps,gy_dps,gz_dps,power_button'];
  for (let i = 0; i < 600_000; ++i) {
    const t = i / 1000;
    const swing = t % 30 > 10 ? 600 * Math.sin(2 * Math.PI * 0.9 * t) * (0.7 + 0.3 * Math.sin(t / 3)) : 0;
    const force = [0, 0, 1].map((g) => (g + normal() * 0.01).toFixed(4));
    const rate = [0, swing, 0].map((dps) => (dps + normal()).toFixed(2));
    lines.push(`${i},${force.join(',')},${rate.join(',')},${i % 5000 < 90 ? 1 : 0}`);
  }
  return `${lines.join('\n')}\n`;
}
