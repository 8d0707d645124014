import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core';
import { findBrowser } from '../../scripts/findBrowser.mjs';
import {
  type BuiltServer,
  ensureBuilt,
  launchServer,
  makeEmptyWorkspace,
  workspaceWithDemo,
} from '../scripts/builtServer.ts';

/** An installed Chromium or Chrome; without one, `describe.skipIf(!BROWSER)`. */
export const BROWSER: string | null = findBrowser();

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
  /** A fresh tab in a profile of its own, at `path` (default the start page). */
  readonly openPage: (path?: string, options?: BrowserContextOptions) => Promise<Page>;
  readonly close: () => Promise<void>;
}

export interface WorkbenchOptions {
  /** Whether the demonstration takes are in, all of them, before this resolves; otherwise the workspace is empty. */
  readonly withDemo: boolean;
}

/** Builds what is stale, and starts the built server in a new workspace, and a browser without a window. */
export async function launchWorkbench({ withDemo }: WorkbenchOptions): Promise<Workbench> {
  if (BROWSER === null) throw new Error('no Chromium or Chrome was found');
  await ensureBuilt();
  const folder = mkdtempSync(join(tmpdir(), 'moulinet-test-'));
  const workspace = join(folder, 'workspace');
  if (!withDemo) makeEmptyWorkspace(workspace);
  const server = await launchServer(workspace);
  if (withDemo) await workspaceWithDemo(server.address);
  const browser = await chromium.launch({ executablePath: BROWSER });
  const errors: string[] = [];
  const openPage = async (path = '/', options: BrowserContextOptions = {}): Promise<Page> => {
    const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, ...options });
    const page = await context.newPage();
    collectErrors(page, server.address, errors);
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

function collectErrors(page: Page, address: string, errors: string[]): void {
  page.on('pageerror', (error) => errors.push(String(error)));
  page.on('console', (message) => {
    if (message.type() === 'error') errors.push(message.text());
  });
  page.on('response', (response) => {
    if (response.status() >= 500) errors.push(`${response.status()} ${response.url()}`);
  });
  page.on('request', (request) => {
    const isOwn = request.url().startsWith(`${address}/`) || /^(data|blob):/.test(request.url());
    if (!isOwn) errors.push(`a request to ${request.url()}`);
  });
}
