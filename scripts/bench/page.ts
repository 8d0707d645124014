import { mkdtempSync, rmSync } from 'node:fs';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import type { WorkspaceBody } from '../../server/http/schemas.ts';
import { findBrowser } from '../findBrowser.mjs';
import { frameTimes, residentMb, ScriptClock, type Times, twoFrames, watchPeakMb } from './page/measures.ts';
import { makePageTake, PAGE_TAKES, type PageTake } from './page/pageTakes.ts';
import type { Print } from './pair.ts';
import { serve } from './served.ts';

const STEPS = 60;
const OPENINGS = 7;
const REST_MS = 30_000;
const LONGEST_MS = 180_000;
const TRACE = '.stave-speed canvas';
const GUARD_LINE = '[data-threshold="a.guard.speedDps"]';

interface PageOptions {
  /** Where the workspace is kept for the next run; a temporary folder if there is none. */
  readonly folder?: string;
  /** How the titles of the takes to look at begin, beside the shortest; all of them without it. */
  readonly only?: string;
}

export interface Figures {
  /** From the address to the first trace, of several openings the middle one, and to lines that can be dragged. */
  readonly traceMs: number;
  readonly readyMs: number;
  readonly guard: Times;
  readonly deflection: Times;
  readonly frames: Times;
  readonly zoom: Times;
  readonly toTune: Switched;
  readonly toSignal: Switched;
  /** At rest, and at most until then. */
  readonly heldMb: number;
  readonly peakMb: number;
}

/** How long a switch took, and how much of it the main thread worked. */
interface Switched {
  readonly tookMs: number;
  readonly workMs: number;
}

/**
 * What a take's length costs on the page: opening it, a step of a dragged line, a step of zoom, a switch of views, memory;
 * for takes of ten seconds, ten minutes and an hour at 1 kHz, in a browser without a window, each in a browser of its own.
 * Prints times, and their ratios to the ten seconds.
 */
export async function benchPage(print: Print, options: PageOptions = {}): Promise<void> {
  const executablePath = findBrowser();
  if (executablePath === null) return print('no Chromium or Chrome was found');
  const folder = options.folder ?? mkdtempSync(join(tmpdir(), 'moulinet-bench-'));
  try {
    let shortest: Figures | null = null;
    const isWanted = ({ title }: PageTake) => !options.only || title.startsWith(options.only);
    // The first one always: all others are told as ratios to it.
    for (const take of PAGE_TAKES.filter((one, place) => place === 0 || isWanted(one))) {
      const workspace = join(folder, take.title.replace(/\W+/g, '-'));
      await makePageTake(workspace, take);
      const loadBefore = loadavg()[0]!;
      const figures = await measureIn(workspace, executablePath);
      shortest ??= figures;
      tell(print, take.title, figures, shortest);
      print(`  load ${loadBefore.toFixed(1)} before, ${loadavg()[0]!.toFixed(1)} after`);
    }
  } finally {
    if (options.folder === undefined) rmSync(folder, { recursive: true, force: true });
  }
}

/** What the only take of a workspace costs. */
export async function measureIn(workspace: string, executablePath: string): Promise<Figures> {
  const served = await serve(workspace, '--no-demo');
  const browser = await chromium.launch({ executablePath });
  try {
    const { takes } = (await (await fetch(`${served.address}/api/workspace`)).json()) as WorkspaceBody;
    return await measureTake(browser, `${served.address}/#take=${takes[0]!.id}&shows=whole`);
  } finally {
    await browser.close();
    await served.stop();
  }
}

function tell(print: Print, title: string, now: Figures, shortest: Figures): void {
  const ratio = (ms: number, of: number) => `${(ms / of).toFixed(2)}×`;
  const times = ({ medianMs, p95Ms }: Times) => `${medianMs.toFixed(1)} · ${p95Ms.toFixed(1)} ms`;
  print(`${title} (median · 95th percentile; × of the ten seconds)`);
  print(`  first trace ${now.traceMs.toFixed(0)} ms, ${ratio(now.traceMs, shortest.traceMs)}`);
  print(`  lines to drag ${now.readyMs.toFixed(0)} ms, ${ratio(now.readyMs, shortest.readyMs)}`);
  for (const name of ['guard', 'deflection', 'zoom'] as const)
    print(
      `  script of a step, ${name}: ${times(now[name])}, ${ratio(now[name].medianMs, shortest[name].medianMs)}`,
    );
  print(`  from frame to frame in a drag of the guard: ${times(now.frames)}`);
  const switched = ({ tookMs, workMs }: Switched) =>
    `${tookMs.toFixed(0)} ms, ${workMs.toFixed(0)} of them work`;
  print(`  to Tune ${switched(now.toTune)}; to Signal check ${switched(now.toSignal)}`);
  print(
    `  the page holds ${now.heldMb.toFixed(0)} MB, ${ratio(now.heldMb, shortest.heldMb)}; at most ${now.peakMb.toFixed(0)} MB as it opens`,
  );
}

async function measureTake(browser: Browser, address: string): Promise<Figures> {
  const traceMs = await firstTraceMs(browser, address);
  const page = await watchedPage(browser);
  const endOfWatch = await watchPeakMb(browser);
  await page.goto(address);
  const readyMs = await markMs(page, 'line');
  // Badges and the signal check are computed in threads of their own: let them come to rest.
  await page.waitForTimeout(REST_MS);
  const peakMb = endOfWatch();
  const heldMb = await residentMb(browser, page);
  const clock = await ScriptClock.of(page);
  const guard = await dragged(page, 'guard.speedDps', (move) => clock.steps(page, STEPS, move));
  const deflection = await dragged(page, 'deflection.speedDps', (move) => clock.steps(page, STEPS, move));
  const frames = await dragged(page, 'guard.speedDps', (move) =>
    frameTimes(page, async () => {
      for (let k = 0; k < 4 * STEPS; ++k) await move(k);
    }),
  );
  const zoom = await zoomed(page, clock);
  const toSignal = await switchTo(page, clock, 'Signal check', '.stave-speed', true);
  const toTune = await switchTo(page, clock, 'Tune', GUARD_LINE, false);
  return { traceMs, readyMs, guard, deflection, frames, zoom, toTune, toSignal, heldMb, peakMb };
}

/** The middle one of several openings, each by a page that knows nothing yet. */
async function firstTraceMs(browser: Browser, address: string): Promise<number> {
  const seenMs: number[] = [];
  for (let k = 0; k < OPENINGS; ++k) {
    const page = await watchedPage(browser);
    await page.goto(address);
    seenMs.push(await markMs(page, 'trace'));
    await page.close();
  }
  return seenMs.sort((a, b) => a - b)[OPENINGS >> 1]!;
}

async function watchedPage(browser: Browser): Promise<Page> {
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  await page.addInitScript(watchMarks, { trace: TRACE, line: GUARD_LINE });
  return page;
}

/** Runs in the page: when each mark was first seen in a frame, from the start of the navigation. */
function watchMarks(marks: Readonly<Record<string, string>>): void {
  const seenMs: Record<string, number> = {};
  Object.assign(globalThis, { seenMs });
  const look = (): void => {
    for (const [name, selector] of Object.entries(marks))
      if (document.querySelector(selector)) seenMs[name] ??= performance.now();
    if (Object.keys(seenMs).length < Object.keys(marks).length) requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
}

async function markMs(page: Page, name: string): Promise<number> {
  const handle = await page.waitForFunction(
    (key) => (globalThis as unknown as { seenMs: Record<string, number> }).seenMs[key],
    name,
    { timeout: LONGEST_MS, polling: 100 },
  );
  return (await handle.jsonValue())!;
}

/** Holds a line by its tag and moves it up and down while `measure` goes on. */
async function dragged<Measured>(
  page: Page,
  path: string,
  measure: (move: (k: number) => Promise<void>) => Promise<Measured>,
): Promise<Measured> {
  const tag = (await page.locator(`[data-threshold="a.${path}"] .tag`).boundingBox())!;
  const at = { x: tag.x + tag.width / 2, y: tag.y + tag.height / 2 };
  await page.mouse.move(at.x, at.y);
  await page.mouse.down();
  const measured = await measure(async (k) => {
    at.y += k % 20 < 10 ? -3 : 3;
    await page.mouse.move(at.x, at.y);
  });
  await page.mouse.up();
  await page.keyboard.press('Control+z');
  await page.waitForTimeout(1500);
  return measured;
}

/** In to a tenth and out again about the middle of the speed's stave. */
async function zoomed(page: Page, clock: ScriptClock): Promise<Times> {
  const box = (await page.locator('.stave-speed .over').boundingBox())!;
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  return clock.steps(page, 40, (k) => page.mouse.wheel(0, k % 20 < 10 ? -128 : 128));
}

/** From a click on a view's tab to the second frame after what it shows is there, or what it leaves is gone. */
async function switchTo(
  page: Page,
  clock: ScriptClock,
  name: string,
  selector: string,
  isGone: boolean,
): Promise<Switched> {
  const switches: Switched[] = [];
  const back = isGone ? 'Tune' : 'Signal check';
  for (let round = 0; round < 5; ++round) {
    await page.locator('.views button', { hasText: new RegExp(`^${back}`) }).click();
    await twoFrames(page);
    await page.waitForTimeout(400);
    const beforeMs = await clock.workMs();
    const tookMs = await page.evaluate(
      ([tab, mark, gone]) =>
        new Promise<number>((done) => {
          const button = [...document.querySelectorAll<HTMLElement>('.views button')].find((one) =>
            one.innerText.startsWith(tab as string),
          )!;
          const sinceMs = performance.now();
          button.click();
          const look = (): void => {
            if ((document.querySelector(mark as string) === null) === gone)
              requestAnimationFrame(() => done(performance.now() - sinceMs));
            else requestAnimationFrame(look);
          };
          requestAnimationFrame(look);
        }),
      [name, selector, isGone] as const,
    );
    switches.push({ tookMs, workMs: (await clock.workMs()) - beforeMs });
  }
  return switches.sort((a, b) => a.workMs - b.workMs)[2]!;
}
