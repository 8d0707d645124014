import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { findBrowser } from '../findBrowser.mjs';
import { makeManyTakes } from './manyWorkspace.ts';
import type { Print } from './pair.ts';
import { serve } from './served.ts';

const TAKES = 100;
const LONGEST_MS = 900_000;

interface ManyOptions {
  /** Fewer takes than a hundred, for a quick look. */
  readonly takes?: number;
  /** Where the workspace is kept for the next run; a temporary folder if there is none. */
  readonly folder?: string;
}

/** What a page has to show; read in the page, once a frame. */
interface Marks {
  /** What a view has to be told first, such as to look at all takes: the name of a button or a fold begins so. */
  readonly click: string | null;
  readonly first: string;
  readonly done: string;
}

/** The page's window, with when each mark was seen. */
interface Marked {
  marksMs: Record<string, number | undefined>;
}

export const VIEWS: Readonly<Record<'compare' | 'sweep', Marks>> = {
  compare: { click: 'Every score', first: '[data-compared] [data-score]', done: '[data-compare="done"]' },
  sweep: {
    click: 'All ',
    first: '.map-card canvas',
    done: 'main:has([data-job="done"]) .sweep-grid:not(.is-old) .suggestion[data-choice]',
  },
};

/**
 * Compare and Sweep over a workspace of a hundred takes of 5 minutes at 500 Hz, each in a browser of its own, from the
 * address to the first row or map and to the end, with what the page's process came to hold.
 */
export async function benchMany(print: Print, options: ManyOptions = {}): Promise<void> {
  const executablePath = findBrowser();
  if (executablePath === null) return print('no Chromium or Chrome was found');
  const { takes = TAKES } = options;
  const folder = options.folder ?? mkdtempSync(join(tmpdir(), 'moulinet-bench-'));
  const workspace = join(folder, `takes-${takes}`);
  if (!existsSync(workspace)) await makeManyTakes(workspace, takes);
  const served = await serve(workspace, '--no-demo');
  try {
    for (const [view, marks] of Object.entries(VIEWS)) {
      const browser = await chromium.launch({ executablePath });
      try {
        const told = await runOne(browser, served.address, view, marks);
        print(`${view}, ${takes} takes of 5 min at 500 Hz: ${told}`);
      } finally {
        await browser.close();
      }
    }
  } finally {
    await served.stop();
    if (options.folder === undefined) rmSync(folder, { recursive: true, force: true });
  }
}

async function runOne(browser: Browser, address: string, view: string, marks: Marks): Promise<string> {
  const before = load();
  const page = await pageOf(browser, marks);
  const { firstMs, doneMs } = await shown(page, LONGEST_MS, () => page.goto(`${address}/#view=${view}`));
  const costs = await costsOf(browser);
  return `first result ${seconds(firstMs!)}, all ${seconds(doneMs!)}; ${costs} (load ${before} before, ${load()} after)`;
}

/** A page that notes when it shows what the marks name, each time that it is loaded. */
export async function pageOf(browser: Browser, marks: Marks): Promise<Page> {
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  await page.addInitScript(watchMarks, marks);
  return page;
}

/** When it showed its first result, and all; null where it did not in that time. */
export interface Shown {
  readonly firstMs: number | null;
  readonly doneMs: number | null;
}

/** @param load  loads the page, anew or for the first time. */
export async function shown(page: Page, longestMs: number, load: () => Promise<unknown>): Promise<Shown> {
  await load();
  const seen = (name: string): Promise<number | null> =>
    page
      .waitForFunction((key) => (globalThis as unknown as Marked).marksMs[key], name, {
        timeout: longestMs,
        polling: 100,
      })
      .then(async (handle) => (await handle.jsonValue())!)
      .catch(() => null);
  return { firstMs: await seen('first'), doneMs: await seen('done') };
}

/** Runs in the page. Times are from the start of the navigation to the frame after the one that shows the mark. */
function watchMarks({ click, first, done }: Marks): void {
  const marksMs: Marked['marksMs'] = {};
  (globalThis as unknown as Marked).marksMs = marksMs;
  let isClicked = click === null;
  const look = (): void => {
    if (!isClicked) {
      const button = [...document.querySelectorAll<HTMLElement>('button, summary')].find((one) =>
        one.innerText.startsWith(click!),
      );
      button?.click();
      isClicked = button !== undefined;
    } else {
      if (document.querySelector(first)) marksMs['first'] ??= performance.now();
      if (marksMs['first'] && document.querySelector(done)) marksMs['done'] ??= performance.now();
    }
    if (!marksMs['done']) requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
}

/** Processor time of the page and of the rest of the browser, which a busy machine stretches least; and memory, on Linux. */
async function costsOf(browser: Browser): Promise<string> {
  const session = await browser.newBrowserCDPSession();
  const { processInfo } = await session.send('SystemInfo.getProcessInfo');
  const isPage = ({ type }: { type: string }): boolean => type === 'renderer';
  const cpuS = (which: typeof processInfo): number => which.reduce((sum, { cpuTime }) => sum + cpuTime, 0);
  const page = cpuS(processInfo.filter(isPage)).toFixed(1);
  const rest = cpuS(processInfo.filter((one) => !isPage(one))).toFixed(1);
  const sizes = processInfo.filter(isPage).flatMap(({ id }) => statusOf(id));
  const most = (name: string): string =>
    Math.max(
      ...sizes.map((text) => Number(new RegExp(`${name}:\\s+(\\d+) kB`).exec(text)?.[1]) / 1024),
    ).toFixed(0);
  const memory =
    sizes.length === 0
      ? 'memory unknown'
      : `page ${most('VmHWM')} MB at most, ${most('VmRSS')} MB at the end`;
  return `processor ${page} s in the page, ${rest} s in the rest of the browser; ${memory}`;
}

function statusOf(pid: number): string[] {
  const path = `/proc/${pid}/status`;
  return existsSync(path) ? [readFileSync(path, 'utf8')] : [];
}

function load(): string {
  return loadavg()[0]!.toFixed(1);
}

function seconds(ms: number): string {
  return `${(ms / 1000).toFixed(1)} s`;
}
