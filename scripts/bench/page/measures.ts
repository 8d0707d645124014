import { readFileSync } from 'node:fs';
import type { Browser, CDPSession, Page } from 'playwright-core';
import { quantileSorted } from '../../../server/engine/statistics/sorted.ts';

/** The middle and the slow end of times in milliseconds. */
export interface Times {
  readonly medianMs: number;
  readonly p95Ms: number;
}

export function timesOf(values: readonly number[]): Times {
  const sorted = Float64Array.from(values).sort();
  return { medianMs: quantileSorted(sorted, 0.5), p95Ms: quantileSorted(sorted, 0.95) };
}

/** A page's script clock: processor time of its main thread's scripts, which other work on the machine leaves as it is. */
export class ScriptClock {
  private readonly session: CDPSession;

  private constructor(session: CDPSession) {
    this.session = session;
  }

  static async of(page: Page): Promise<ScriptClock> {
    const session = await page.context().newCDPSession(page);
    await session.send('Performance.enable', { timeDomain: 'threadTicks' });
    return new ScriptClock(session);
  }

  private async metric(name: string): Promise<number> {
    const { metrics } = await this.session.send('Performance.getMetrics');
    return metrics.find((metric) => metric.name === name)!.value;
  }

  async scriptMs(): Promise<number> {
    return 1000 * (await this.metric('ScriptDuration'));
  }

  /** All that the main thread does: script, style, layout and painting. */
  async workMs(): Promise<number> {
    return 1000 * (await this.metric('TaskDuration'));
  }
}

export function twoFrames(page: Page): Promise<unknown> {
  return page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
}

/** From frame to frame while `act` goes on. */
export async function frameTimes(page: Page, act: () => Promise<void>): Promise<Times> {
  await page.evaluate(() => {
    const seen: number[] = [];
    Object.assign(globalThis, { framesMs: seen });
    const watch = (ms: number): void => {
      seen.push(ms);
      requestAnimationFrame(watch);
    };
    requestAnimationFrame(watch);
  });
  await act();
  const framesMs = await page.evaluate(() => (globalThis as unknown as { framesMs: number[] }).framesMs);
  return timesOf(framesMs.slice(1).map((ms, k) => ms - framesMs[k]!));
}

/** What the page's process holds in megabytes once rubbish is collected; Linux alone tells. */
export async function residentMb(browser: Browser, page: Page): Promise<number> {
  const ofPage = await page.context().newCDPSession(page);
  await ofPage.send('HeapProfiler.collectGarbage');
  await ofPage.send('HeapProfiler.collectGarbage');
  return largestPageMb(await browser.newBrowserCDPSession());
}

/** Looks at it again and again. What is returned ends that, and tells the most that it held. */
export async function watchPeakMb(browser: Browser): Promise<() => number> {
  const session = await browser.newBrowserCDPSession();
  let peakMb = 0;
  const look = async (): Promise<void> => {
    // A page that goes meanwhile has no size.
    peakMb = Math.max(peakMb, await largestPageMb(session).catch(() => 0));
  };
  const timer = setInterval(() => void look(), LOOK_MS);
  return () => {
    clearInterval(timer);
    return peakMb;
  };
}

async function largestPageMb(session: CDPSession): Promise<number> {
  const { processInfo } = await session.send('SystemInfo.getProcessInfo');
  const sizes = processInfo.filter(({ type }) => type === 'renderer').map(({ id }) => anonymousKb(id));
  // One that has just gone has none.
  return Math.max(...sizes.filter((kb) => !Number.isNaN(kb))) / 1024;
}

const LOOK_MS = 250;

function anonymousKb(pid: number): number {
  try {
    return Number(/RssAnon:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1] ?? Number.NaN);
  } catch {
    return Number.NaN;
  }
}
