import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import {
  type Browser,
  type BrowserContext,
  type BrowserContextOptions,
  chromium,
  type Page,
} from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, inject } from 'vitest';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import type { TakeDocument, WorkspaceBody } from '../../server/http/schemas.ts';
import {
  type BuiltServer,
  launchServer,
  makeEmptyWorkspace,
  workspaceWithDemo,
} from '../scripts/builtServer.ts';

/** Where the one browser of all files is, and a folder for this run; null where none is installed. */
const BROWSER = inject('browser');

export interface Workbench {
  readonly server: BuiltServer;
  readonly browser: Browser;
  /** The folder that the server works in; gone after `close`. */
  readonly workspace: string;
  /**
   * What went wrong in any page so far: errors, console errors (a breach of the page's policy is one), answers of 500
   * and requests to anywhere else. A test that provokes some takes them out: `errors.splice(0)`.
   */
  readonly errors: string[];
  /**
   * A fresh tab in a profile of its own, at `path` (default the start page).
   * @param prepare  is done before anything is loaded, such as routes that stand in for the server's.
   */
  readonly openPage: (
    path?: string,
    options?: BrowserContextOptions,
    prepare?: (page: Page) => Promise<unknown>,
  ) => Promise<Page>;
  readonly close: () => Promise<void>;
}

interface WorkbenchOptions {
  /** Whether the demonstration takes are in, all of them, before this resolves; otherwise the workspace is empty. */
  readonly withDemo: boolean;
  /** Puts more into the workspace before the server starts. */
  readonly prepare?: (workspace: string) => Promise<void>;
}

let demo: Promise<string> | null = null;

/** A workspace into which the server has read the demonstration takes: made once, to be copied. */
async function makeDemo(folder: string): Promise<string> {
  const workspace = join(mkdtempSync(join(folder, 'demo-')), 'workspace');
  const server = await launchServer(workspace);
  await workspaceWithDemo(server.address);
  await server.stop();
  return workspace;
}

/** Starts the built server in a new workspace. */
async function launchWorkbench({ withDemo, prepare }: WorkbenchOptions): Promise<Workbench> {
  if (BROWSER === null) throw new Error('no Chromium or Chrome was found');
  const folder = mkdtempSync(join(BROWSER.folder, 'test-'));
  const workspace = join(folder, 'workspace');
  if (withDemo) {
    demo ??= makeDemo(BROWSER.folder);
    cpSync(await demo, workspace, { recursive: true });
  } else makeEmptyWorkspace(workspace);
  await prepare?.(workspace);
  const server = await launchServer(workspace);
  const browser = await chromium.connect(BROWSER.endpoint);
  const errors: string[] = [];
  const openPage: Workbench['openPage'] = async (path = '/', options = {}, prepare = async () => {}) => {
    const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, ...options });
    const page = await context.newPage();
    collectErrors(page, server.address, errors);
    await prepare(page);
    await page.goto(`${server.address}${path}`);
    return page;
  };
  const close = async (): Promise<void> => {
    await browser.close();
    await server.stop();
    rmSync(folder, { recursive: true, force: true });
  };
  return { server, browser, workspace, errors, openPage, close };
}

/** A group of tests that share a workbench; skipped where there is no browser. Tabs that a test opens end with it. */
export function describeInBrowser(
  name: string,
  options: WorkbenchOptions,
  tests: (bench: Workbench) => void,
): void {
  describe.skipIf(BROWSER === null)(name, () => {
    const bench = {} as Workbench;
    beforeAll(async () => {
      Object.assign(bench, await launchWorkbench(options));
    }, 120_000);
    afterAll(async () => bench.close?.());
    let kept: readonly BrowserContext[] = [];
    beforeEach(() => {
      kept = bench.browser.contexts();
    });
    afterEach(async () => {
      for (const context of bench.browser.contexts()) if (!kept.includes(context)) await context.close();
    });
    tests(bench);
  });
}

function collectErrors(page: Page, address: string, errors: string[]): void {
  page.on('pageerror', (error) => errors.push(String(error)));
  page.on('console', (message) => {
    if (message.type() === 'error') errors.push(`${message.text()} ${message.location().url}`);
  });
  page.on('response', (response) => {
    if (response.status() >= 500) errors.push(`${response.status()} ${response.url()}`);
  });
  page.on('request', (request) => {
    const isOwn = request.url().startsWith(`${address}/`) || /^(data|blob):/.test(request.url());
    if (!isOwn) errors.push(`a request to ${request.url()}`);
  });
}

/** Two candidates for tests whose numbers rest on them; B differs by its hold alone. */
export const CANDIDATE_A: Candidate = {
  ...DEFAULT_CANDIDATE,
  guard: { ...DEFAULT_CANDIDATE.guard, speedDps: 240, holdMs: 0 },
};
export const CANDIDATE_B: Candidate = { ...CANDIDATE_A, guard: { ...CANDIDATE_A.guard, holdMs: 120 } };

/** Puts these two, or A and another B, in the place of the workspace's candidates, whatever another test left there. */
export async function putCandidates({ server }: Workbench, b: Candidate = CANDIDATE_B): Promise<void> {
  for (;;) {
    const { revision } = (await readWorkspace(server)).candidates;
    const answer = await fetch(`${server.address}/api/candidates`, {
      method: 'PUT',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ revision, a: CANDIDATE_A, b }),
    });
    if (answer.ok) return;
    // A page that is gone may still have been saving.
    if (answer.status !== 409) throw new Error(`candidates refused: ${await answer.text()}`);
  }
}

/** A take's document, as the server has it now. */
export async function takeNamed({ server }: Workbench, title: string): Promise<TakeDocument> {
  const { id } = (await readWorkspace(server)).takes.find((take) => take.title === title)!;
  return (await fetch(`${server.address}/api/takes/${id}`)).json() as Promise<TakeDocument>;
}

async function readWorkspace(server: BuiltServer): Promise<WorkspaceBody> {
  return (await fetch(`${server.address}/api/workspace`)).json() as Promise<WorkspaceBody>;
}

/** A fresh tab at a view of one take, which is chosen from the list; in Tune, its staves and lanes are there. */
export async function openTake(bench: Workbench, title: string, view = 'tune'): Promise<Page> {
  const page = await bench.openPage(`/#view=${view}`);
  await page.locator('.take', { hasText: title }).click();
  await page.locator('.take[aria-current="true"]', { hasText: title }).waitFor();
  if (view !== 'tune') return page;
  await page.locator('.stave-speed .over').waitFor();
  await page.locator('[data-lane="guard-a"]').waitFor({ state: 'attached' });
  await showWhole(page);
  return page;
}

/** All of the open take: Tune opens on the first stray press that is let through. */
export async function showWhole(page: Page): Promise<void> {
  await page.waitForFunction(() => /from=|shows=/.test(location.hash));
  await page.keyboard.press('0');
  await page.waitForFunction(() => location.hash.includes('shows=whole'));
}

/** Unfolds what a view says on asking, unless it is unfolded. */
export async function unfold(page: Page, name: string): Promise<void> {
  const fold = page.locator('.fold-out', { has: page.locator('summary', { hasText: name }) }).last();
  await fold.waitFor();
  if ((await fold.getAttribute('open')) === null) await fold.locator('summary').first().click();
  await fold.locator(':scope > :not(summary)').first().waitFor();
}

/** Shows settings and scores beside a view that folds them away. */
export async function showSettings(page: Page): Promise<void> {
  const button = page.locator('.rail');
  if ((await button.getAttribute('aria-expanded')) === 'false') await button.click();
}

/** A score of one candidate, as it stands in the panel, folded or not. */
export async function score(page: Page, name: string, slot: 'a' | 'b' = 'a'): Promise<string> {
  return (await page.locator(`[data-score="${name}"] [data-slot="${slot}"]`).textContent()) ?? '';
}

/** What moves with a pointer is painted a frame later. */
export async function painted(page: Page): Promise<void> {
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
}
