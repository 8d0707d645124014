import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { pageOf, type Shown, shown, VIEWS } from '../many.ts';
import { type AddedTake, makePageTake, type PageTake } from '../page/pageTakes.ts';
import { type Figures, measureIn } from '../page.ts';
import type { Print } from '../pair.ts';
import { serve } from '../served.ts';
import { load } from './load.ts';
import { type Row, tableLines } from './table.ts';

const LENGTHS: readonly PageTake[] = [
  { title: '10 s', seconds: 10, pressEveryMs: 2500 },
  { title: '1 min', seconds: 60, pressEveryMs: 5000 },
  { title: '10 min', seconds: 600, pressEveryMs: 5000 },
  { title: '1 h', seconds: 3600, pressEveryMs: 5000 },
];
const LONGEST_MS = 240_000;

interface Measured {
  readonly take: PageTake;
  readonly added: AddedTake | null;
  readonly figures: Figures | null;
  readonly sweep: Shown | null;
  readonly compare: Shown | null;
  readonly load: string;
}

/** One take of each length at 1 kHz, in a workspace and a browser of its own. */
export async function benchLengths(
  print: Print,
  { folder, executablePath, only }: { folder: string; executablePath: string; only?: string | undefined },
): Promise<void> {
  const measured: Measured[] = [];
  for (const take of LENGTHS.filter(({ title }) => only === undefined || title === only)) {
    const workspace = join(folder, `length-${take.seconds}`);
    const before = load();
    const added = await makePageTake(workspace, take);
    // What fails at one length leaves a dash, and the others as they are.
    const page = await measureIn([workspace], executablePath).catch(told(print, take.title));
    const figures = page?.figures[0] ?? null;
    const sweep = await viewOf(workspace, executablePath, 'sweep').catch(told(print, take.title));
    const compare = await viewOf(workspace, executablePath, 'compare').catch(told(print, take.title));
    const one = { take, added, figures, sweep, compare, load: `${before} to ${load()}` };
    measured.push(one);
    print(`${take.title}: ${JSON.stringify(one)}`);
  }
  const row = (name: string, unit: Row['unit'], of: (one: Measured) => number | null | undefined): Row => {
    return { name, unit, values: measured.map((one) => of(one) ?? null) };
  };
  const rows = [
    row('read: sent, previewed and added', 's', ({ added }) => added?.addedMs),
    row('the server at most, meanwhile', 'MB', ({ added }) => added?.serverMb),
    row('open: first trace', 's', ({ figures }) => figures?.trace.medianMs),
    row('open: lines to drag', 's', ({ figures }) => figures?.readyMs),
    row('drag: script of a step of the guard', 'ms', ({ figures }) => figures?.guard.medianMs),
    row('the same at the 95th percentile', 'ms', ({ figures }) => figures?.guard.p95Ms),
    row('zoom: script of a step', 'ms', ({ figures }) => figures?.zoom.medianMs),
    row('sweep: first map', 's', ({ sweep }) => sweep?.firstMs),
    row('sweep: chosen and checked', 's', ({ sweep }) => sweep?.doneMs),
    row('compare: both candidates', 's', ({ compare }) => compare?.doneMs),
    row('the page’s process, at rest', 'MB', ({ figures }) => figures?.heldMb),
  ];
  const heads = measured.map(({ take }) => take.title);
  const sizes = measured.map(({ take }) => take.seconds);
  for (const line of tableLines(
    heads,
    sizes,
    rows,
    measured.map((one) => one.load),
  ))
    print(line);
}

/** The only take of a workspace in a view, in a browser that knows nothing of it. */
async function viewOf(workspace: string, executablePath: string, view: 'sweep' | 'compare'): Promise<Shown> {
  const served = await serve(workspace, '--no-demo');
  const browser = await chromium.launch({ executablePath });
  try {
    // Sweep looks at the open take unless it is told otherwise.
    const page = await pageOf(browser, view === 'sweep' ? { ...VIEWS.sweep, click: null } : VIEWS.compare);
    return await shown(page, LONGEST_MS, () => page.goto(`${served.address}/#view=${view}`));
  } finally {
    await browser.close();
    await served.stop();
  }
}

function told(print: Print, title: string): (error: unknown) => null {
  return (error) => {
    print(`${title}: ${error instanceof Error ? error.message.split('\n')[0] : String(error)}`);
    return null;
  };
}
