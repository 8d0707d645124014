import { existsSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, chromium } from 'playwright-core';
import type { TakeDocument, WorkspaceBody } from '../../../server/http/schemas.ts';
import { INDEX_NAME } from '../../../server/store/takeIndex.ts';
import { pageOf, type Shown, shown, VIEWS } from '../many.ts';
import { makeManyTakes } from '../manyWorkspace.ts';
import { residentMb } from '../page/measures.ts';
import type { Print } from '../pair.ts';
import { send, serve } from '../served.ts';
import { load } from './load.ts';
import { type Row, tableLines } from './table.ts';

/** The shortest takes with spins enough to choose on: the size of a workspace is what is looked at here. */
const SECONDS = 24;
const LONGEST_MS = 900_000;
const OPEN = { click: null, first: '.stave-speed canvas', done: '[data-threshold="a.guard.speedDps"]' };

const NOT_SHOWN: Shown = { firstMs: null, doneMs: null };

interface Opened extends Shown {
  readonly pageMb: number;
}

interface Measured {
  readonly takes: number;
  /** From the command to the answer that lists the takes: every document read, and by the index. */
  readonly scannedMs: number;
  readonly listedMs: number;
  readonly serverMb: number;
  readonly open: Opened;
  readonly sweep: Again;
  readonly compare: Again;
  readonly load: string;
}

/** A view over all takes: the first time, once more, and once more after one take was labelled otherwise. */
interface Again {
  readonly first: Shown;
  readonly again: Shown;
  readonly labelled: Shown;
}

/** Workspaces of more and more takes. */
export async function benchWorkspaces(
  print: Print,
  options: { folder: string; executablePath: string; sizes: readonly number[] },
): Promise<void> {
  const measured: Measured[] = [];
  for (const takes of options.sizes) {
    const workspace = join(options.folder, `takes-${takes}-of-${SECONDS}-s`);
    if (!existsSync(workspace)) await makeManyTakes(workspace, takes, SECONDS);
    const one = await measure(workspace, takes, options.executablePath);
    measured.push(one);
    print(`${takes} takes: ${JSON.stringify(one)}`);
  }
  const row = (name: string, unit: Row['unit'], of: (one: Measured) => number | null): Row => {
    return { name, unit, values: measured.map(of) };
  };
  const rows = [
    row('start to list, every document read', 's', ({ scannedMs }) => scannedMs),
    row('start to list, by the index', 's', ({ listedMs }) => listedMs),
    row('open: first trace', 's', ({ open }) => open.firstMs),
    row('open: lines to drag', 's', ({ open }) => open.doneMs),
    row('sweep: first map', 's', ({ sweep }) => sweep.first.firstMs),
    row('sweep: chosen and checked', 's', ({ sweep }) => sweep.first.doneMs),
    row('the same, opened again', 's', ({ sweep }) => sweep.again.doneMs),
    row('the same, one take labelled anew', 's', ({ sweep }) => sweep.labelled.doneMs),
    row('compare: first row', 's', ({ compare }) => compare.first.firstMs),
    row('compare: all rows', 's', ({ compare }) => compare.first.doneMs),
    row('the same, opened again', 's', ({ compare }) => compare.again.doneMs),
    row('the same, one take labelled anew', 's', ({ compare }) => compare.labelled.doneMs),
    row('the page’s process, at rest in Tune', 'MB', ({ open }) => open.pageMb),
    row('the server at most', 'MB', ({ serverMb }) => serverMb),
  ];
  const heads = measured.map(({ takes }) => `${takes} takes`);
  for (const line of tableLines(
    heads,
    options.sizes,
    rows,
    measured.map((one) => one.load),
  ))
    print(line);
}

async function measure(workspace: string, takes: number, executablePath: string): Promise<Measured> {
  const before = load();
  // An index tells of a document only once it has been left alone for some seconds.
  await new Promise((resolve) => setTimeout(resolve, 3000));
  rmSync(join(workspace, INDEX_NAME), { force: true });
  const scannedMs = await startToList(workspace);
  const listedMs = await startToList(workspace);
  const served = await serve(workspace, '--no-demo');
  try {
    const open = await inBrowser(executablePath, async (browser): Promise<Opened> => {
      const page = await pageOf(browser, OPEN);
      const times = await shown(page, LONGEST_MS, () => page.goto(`${served.address}/#view=tune`));
      await page.waitForTimeout(5000);
      return { ...times, pageMb: await residentMb(browser, page) };
    });
    const view = (name: 'sweep' | 'compare') =>
      inBrowser(executablePath, async (browser): Promise<Again> => {
        const page = await pageOf(browser, VIEWS[name]);
        const first = await shown(page, LONGEST_MS, () => page.goto(`${served.address}/#view=${name}`));
        if (first.doneMs === null) return { first, again: NOT_SHOWN, labelled: NOT_SHOWN };
        // What was found is written behind what is shown.
        await page.waitForTimeout(2000);
        const again = await shown(page, LONGEST_MS, () => page.reload());
        await dropLabel(served.address);
        return { first, again, labelled: await shown(page, LONGEST_MS, () => page.reload()) };
      });
    const [sweep, compare] = [await view('sweep'), await view('compare')];
    const serverMb = served.mostMb();
    return { takes, scannedMs, listedMs, serverMb, open, sweep, compare, load: `${before} to ${load()}` };
  } finally {
    await served.stop();
  }
}

async function startToList(workspace: string): Promise<number> {
  const sinceMs = performance.now();
  const served = await serve(workspace, '--no-demo');
  await (await fetch(`${served.address}/api/workspace`)).json();
  const tookMs = performance.now() - sinceMs;
  // The index is written behind the answer; the end waits for it.
  await served.stop();
  return tookMs;
}

/** Takes the first press label of a take in the middle of the list away. */
async function dropLabel(address: string): Promise<void> {
  const { takes } = (await (await fetch(`${address}/api/workspace`)).json()) as WorkspaceBody;
  const path = `/api/takes/${takes[Math.floor(takes.length / 2)]!.id}`;
  const { revision, labels } = (await (await fetch(address + path)).json()) as TakeDocument;
  const change = { revision, labels: { ...labels, presses: labels.presses.slice(1) } };
  const answer = await send(address, 'PATCH', path, change);
  if (!answer.ok) throw new Error(await answer.text());
}

async function inBrowser<Value>(
  executablePath: string,
  act: (browser: Browser) => Promise<Value>,
): Promise<Value> {
  const browser = await chromium.launch({ executablePath });
  try {
    return await act(browser);
  } finally {
    await browser.close();
  }
}
