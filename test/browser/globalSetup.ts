import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import type { TestProject } from 'vitest/node';
import { findBrowser } from '../../scripts/findBrowser.mjs';
import { ensureBuilt } from '../scripts/builtServer.ts';

declare module 'vitest' {
  interface ProvidedContext {
    /** The endpoint of a browser without a window, and a folder for whatever the tests write; null without a browser. */
    readonly browser: { readonly endpoint: string; readonly folder: string } | null;
  }
}

/**
 * A context of its own for each page is a window with an address bar, whose suggestions are two pages more: without them an
 * empty page costs 0.5 s of processor time in place of 1.9 (Chromium 156). The rest stands in the driver's own list, which
 * this one takes the place of.
 */
const WITHOUT = [
  'WebUIOmniboxPopup',
  'WebUIOmniboxAimPopup',
  'AvoidUnnecessaryBeforeUnloadCheckSync',
  'DestroyProfileOnBrowserClose',
  'HttpsUpgrades',
  'MediaRouter',
  'OptimizationHints',
  'PaintHolding',
  'PreconnectToSearch',
];

/** Builds what is stale, and starts one browser for all test files. */
export async function setup(project: TestProject): Promise<() => Promise<void>> {
  const executablePath = findBrowser();
  if (executablePath === null) {
    project.provide('browser', null);
    return async () => {};
  }
  await ensureBuilt();
  const browser = await chromium.launchServer({
    executablePath,
    args: [`--disable-features=${WITHOUT}`],
  });
  const folder = mkdtempSync(join(tmpdir(), 'moulinet-test-'));
  project.provide('browser', { endpoint: browser.wsEndpoint(), folder });
  return async () => {
    await browser.close();
    rmSync(folder, { recursive: true, force: true });
  };
}
