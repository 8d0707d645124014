import { type Browser, chromium, type Page } from 'playwright-core';
import type { WorkspaceBody } from '../../../server/http/schemas.ts';
import { serve } from '../served.ts';
import { residentMb, ScriptClock, twoFrames, watchPeakMb } from './measures.ts';

const REST_MS = 30_000;
const LONGEST_MS = 180_000;
const TRACE = '.stave-speed canvas';
export const GUARD_LINE = '[data-threshold="a.guard.speedDps"]';

/** A workspace of one take as it is served, and a browser of its own for it. */
export interface Side {
  readonly browser: Browser;
  readonly address: string;
  close(): Promise<void>;
}

export async function openSide(workspace: string, executablePath: string): Promise<Side> {
  const served = await serve(workspace, '--no-demo');
  const browser = await chromium.launch({ executablePath });
  const { takes } = (await (await fetch(`${served.address}/api/workspace`)).json()) as WorkspaceBody;
  const close = async (): Promise<void> => {
    await browser.close();
    await served.stop();
  };
  return { browser, address: `${served.address}/#take=${takes[0]!.id}&shows=whole`, close };
}

/** From the address to the first trace, by a page that knows nothing yet. */
export async function firstTraceMs({ browser, address }: Side): Promise<number> {
  const page = await watchedPage(browser);
  await page.goto(address);
  const tookMs = await markMs(page, 'trace');
  await page.close();
  return tookMs;
}

/** A page that shows the take, all work on it done. */
export interface OpenPage {
  readonly page: Page;
  readonly clock: ScriptClock;
  /** From the address to lines that can be dragged. */
  readonly readyMs: number;
  /** At rest, and at most until then. */
  readonly heldMb: number;
  readonly peakMb: number;
}

export async function openedAtRest({ browser, address }: Side): Promise<OpenPage> {
  const page = await watchedPage(browser);
  const endOfWatch = await watchPeakMb(browser);
  await page.goto(address);
  const readyMs = await markMs(page, 'line');
  // Badges and the signal check are computed in threads of their own: let them come to rest.
  await page.waitForTimeout(REST_MS);
  const peakMb = endOfWatch();
  const heldMb = await residentMb(browser, page);
  return { page, clock: await ScriptClock.of(page), readyMs, heldMb, peakMb };
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

/** A line that the pointer holds by its tag. */
export interface HeldLine {
  readonly clock: ScriptClock;
  readonly page: Page;
  /** A little up for ten steps and down for ten, and so on. */
  move(k: number): Promise<void>;
  /** Lets go, takes the drag back, and waits until that is saved. */
  letGo(): Promise<void>;
}

export async function holdLine({ page, clock }: OpenPage, path: string): Promise<HeldLine> {
  const tag = (await page.locator(`[data-threshold="a.${path}"] .tag`).boundingBox())!;
  const at = { x: tag.x + tag.width / 2, y: tag.y + tag.height / 2 };
  await page.mouse.move(at.x, at.y);
  await page.mouse.down();
  const move = async (k: number): Promise<void> => {
    at.y += k % 20 < 10 ? -3 : 3;
    await page.mouse.move(at.x, at.y);
  };
  const letGo = async (): Promise<void> => {
    await page.mouse.up();
    await page.keyboard.press('Control+z');
    await page.waitForTimeout(1500);
  };
  return { page, clock, move, letGo };
}

/** How long a switch took, and how much of it the main thread worked. */
export interface Switched {
  readonly tookMs: number;
  readonly workMs: number;
}

export async function switches({ page, clock }: OpenPage): Promise<{ toTune: Switched; toSignal: Switched }> {
  const toSignal = await switchTo(page, clock, 'Signal check', '.stave-speed', true);
  const toTune = await switchTo(page, clock, 'Tune', GUARD_LINE, false);
  return { toTune, toSignal };
}

/** From a click on a view's tab to the second frame after what it shows is there, or what it leaves is gone. */
async function switchTo(
  page: Page,
  clock: ScriptClock,
  name: string,
  selector: string,
  isGone: boolean,
): Promise<Switched> {
  const all: Switched[] = [];
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
    all.push({ tookMs, workMs: (await clock.workMs()) - beforeMs });
  }
  return all.sort((a, b) => a.workMs - b.workMs)[2]!;
}
