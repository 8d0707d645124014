import { mkdtempSync, rmSync } from 'node:fs';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { findBrowser } from '../findBrowser.mjs';
import { frameTimes, type Times, twoFrames } from './page/measures.ts';
import { makePageTake, PAGE_TAKES, type PageTake } from './page/pageTakes.ts';
import {
  firstTraceMs,
  holdLine,
  type OpenPage,
  openedAtRest,
  openSide,
  type Side,
  type Switched,
  switches,
} from './page/side.ts';
import { type Costs, type InTurn, inTurn, stepInTurn, stepsOf } from './page/steps.ts';
import type { Print } from './pair.ts';

const OPENINGS = 7;
const DRAG_ROUNDS = 3;
const ZOOM_ROUNDS = 7;
/** Ten steps one way and ten back. */
const ROUND_STEPS = 20;
/** Where a zoom is closest it rests, and the page has time to say what it says only of what stays in sight. */
const RESTS_AT = ROUND_STEPS / 2 - 1;
const ZOOM_REST_MS = 600;

interface PageOptions {
  /** Where the workspace is kept for the next run; a temporary folder if there is none. */
  readonly folder?: string;
  /** How the titles of the takes to look at begin; all but the shortest without it. */
  readonly only?: string;
}

/** What is done by turns on two pages. */
const TAKEN_IN_TURN = ['trace', 'guard', 'deflection', 'zoom', 'rest'] as const;
type TakenInTurn = (typeof TAKEN_IN_TURN)[number];

const NAMES: Readonly<Record<TakenInTurn, string>> = {
  trace: 'first trace',
  guard: 'script of a step, guard',
  deflection: 'script of a step, deflection',
  zoom: 'script of a step, zoom',
  rest: 'script of a step after which the zoom rests',
};

/** What a take costs on the page; each of the times has a median and a 95th percentile. */
export interface Figures extends Readonly<Record<TakenInTurn, Times>> {
  /** From the address to lines that can be dragged. */
  readonly readyMs: number;
  readonly frames: Times;
  readonly toTune: Switched;
  readonly toSignal: Switched;
  /** At rest, and at most until then. */
  readonly heldMb: number;
  readonly peakMb: number;
}

/**
 * What a take's length costs on the page: opening it, a step of a dragged line, a step of zoom, a switch of views, memory;
 * for takes of ten minutes and an hour at 1 kHz. Each is held open beside one of ten seconds, in browsers without a window,
 * and the two take openings and steps in turn, so that other work on the machine stretches both alike. Prints times, and
 * the median of the rounds' ratios; `only` of the ten seconds tells what two takes that are the same come to.
 */
export async function benchPage(print: Print, options: PageOptions = {}): Promise<void> {
  const executablePath = findBrowser();
  if (executablePath === null) return print('no Chromium or Chrome was found');
  const folder = options.folder ?? mkdtempSync(join(tmpdir(), 'moulinet-bench-'));
  const workspaceOf = async (take: PageTake): Promise<string> => {
    const workspace = join(folder, take.title.replace(/\W+/g, '-'));
    await makePageTake(workspace, take);
    return workspace;
  };
  try {
    const shortest = await workspaceOf(PAGE_TAKES[0]!);
    const isWanted = ({ title }: PageTake) => title.startsWith(options.only!);
    for (const take of options.only ? PAGE_TAKES.filter(isWanted) : PAGE_TAKES.slice(1)) {
      const workspace = await workspaceOf(take);
      const loadBefore = loadavg()[0]!;
      const { figures, ratios } = await measureIn([shortest, workspace], executablePath);
      tell(print, take.title, figures, ratios);
      print(`  load ${loadBefore.toFixed(1)} before, ${loadavg()[0]!.toFixed(1)} after`);
    }
  } finally {
    if (options.folder === undefined) rmSync(folder, { recursive: true, force: true });
  }
}

interface Measured {
  /** A workspace each. */
  readonly figures: readonly Figures[];
  /** Of the last workspace to the first. */
  readonly ratios: Readonly<Record<TakenInTurn, number>>;
}

/** What the only takes of workspaces cost, in turn where that can be. */
export async function measureIn(workspaces: readonly string[], executablePath: string): Promise<Measured> {
  const sides: Side[] = [];
  try {
    for (const workspace of workspaces) sides.push(await openSide(workspace, executablePath));
    return await measure(sides);
  } finally {
    for (const side of sides) await side.close();
  }
}

async function measure(sides: readonly Side[]): Promise<Measured> {
  const trace = await firstTraces(sides);
  const pages: OpenPage[] = [];
  for (const side of sides) pages.push(await openedAtRest(side));
  const taken: Record<TakenInTurn, InTurn> = {
    trace: inTurn(trace),
    guard: inTurn(await dragged(pages, 'guard.speedDps')),
    deflection: inTurn(await dragged(pages, 'deflection.speedDps')),
    ...(await zoomed(pages)),
  };
  const figures: Figures[] = [];
  for (const [place, page] of pages.entries()) {
    const timesOf = (name: TakenInTurn) => [name, taken[name].times[place]!] as const;
    const times = Object.fromEntries(TAKEN_IN_TURN.map(timesOf)) as Record<TakenInTurn, Times>;
    const { readyMs, heldMb, peakMb } = page;
    const frames = await framesOfDrag(page);
    figures.push({ ...times, readyMs, heldMb, peakMb, frames, ...(await switches(page)) });
  }
  const ratioOf = (name: TakenInTurn) => [name, taken[name].ratio] as const;
  return { figures, ratios: Object.fromEntries(TAKEN_IN_TURN.map(ratioOf)) as Measured['ratios'] };
}

/** Several openings, each a round. */
async function firstTraces(sides: readonly Side[]): Promise<Costs> {
  const seenMs: number[][][] = sides.map(() => []);
  for (let k = 0; k < OPENINGS; ++k)
    for (const [place, side] of sides.entries()) seenMs[place]!.push([await firstTraceMs(side)]);
  return seenMs;
}

async function dragged(pages: readonly OpenPage[], path: string): Promise<Costs> {
  const lines = await Promise.all(pages.map((page) => holdLine(page, path)));
  const costs = await stepInTurn(lines, {
    rounds: DRAG_ROUNDS,
    steps: ROUND_STEPS,
    step: (line, k) => line.move(k),
    settle: ({ page }) => twoFrames(page),
  });
  for (const line of lines) await line.letGo();
  return costs;
}

async function framesOfDrag(page: OpenPage): Promise<Times> {
  const line = await holdLine(page, 'guard.speedDps');
  const frames = await frameTimes(page.page, async () => {
    for (let k = 0; k < 12 * ROUND_STEPS; ++k) await line.move(k);
  });
  await line.letGo();
  return frames;
}

/** In to a tenth, where it rests for a while, and out again, about the middle of the speed's stave. */
async function zoomed(pages: readonly OpenPage[]): Promise<{ zoom: InTurn; rest: InTurn }> {
  for (const { page } of pages) {
    const box = (await page.locator('.stave-speed .over').boundingBox())!;
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  }
  const costs = await stepInTurn(pages, {
    rounds: ZOOM_ROUNDS,
    steps: ROUND_STEPS,
    step: ({ page }, k) => page.mouse.wheel(0, k <= RESTS_AT ? -128 : 128),
    settle: ({ page }, k) => (k === RESTS_AT ? page.waitForTimeout(ZOOM_REST_MS) : twoFrames(page)),
  });
  return {
    zoom: inTurn(stepsOf(costs, (k) => k !== RESTS_AT)),
    rest: inTurn(stepsOf(costs, (k) => k === RESTS_AT)),
  };
}

function tell(print: Print, title: string, figures: Measured['figures'], ratios: Measured['ratios']): void {
  const [shortest, own] = [figures[0]!, figures.at(-1)!];
  const times = ({ medianMs, p95Ms }: Times) => `${medianMs.toFixed(1)} · ${p95Ms.toFixed(1)} ms`;
  const beside = (of: (one: Figures) => number) => `${(of(own) / of(shortest)).toFixed(2)}×`;
  const switched = ({ tookMs, workMs }: Switched) =>
    `${tookMs.toFixed(0)} ms, ${workMs.toFixed(0)} of them work`;
  print(
    `${title} (median · 95th percentile; in brackets the ten seconds beside it, and how many times that)`,
  );
  for (const name of TAKEN_IN_TURN)
    print(`  ${NAMES[name]}: ${times(own[name])} (${times(shortest[name])}, ${ratios[name].toFixed(2)}×)`);
  print(`  lines to drag: ${own.readyMs.toFixed(0)} ms (${beside(({ readyMs }) => readyMs)})`);
  print(`  from frame to frame in a drag of the guard: ${times(own.frames)} (${times(shortest.frames)})`);
  print(`  to Tune ${switched(own.toTune)}; to Signal check ${switched(own.toSignal)}`);
  print(
    `  the page holds ${own.heldMb.toFixed(0)} MB (${beside(({ heldMb }) => heldMb)}), at most ${own.peakMb.toFixed(0)} MB as it opens`,
  );
}
