import { mkdtempSync, rmSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { findBrowser } from '../findBrowser.mjs';
import { benchLengths } from './growth/lengths.ts';
import { load } from './growth/load.ts';
import { benchWorkspaces } from './growth/workspaces.ts';
import type { Print } from './pair.ts';

const SIZES = [10, 100, 1000, 3000];

interface GrowthOptions {
  /** Where the workspaces are kept for the next run; a temporary folder if there is none. */
  readonly folder?: string;
  /** `lengths`, `workspaces`, or a head of one of their tables, such as `1 h` or `100 takes`. */
  readonly only?: string;
}

/**
 * How what is done every day grows with a take's length and with the size of a workspace, as tables in Markdown: times, memory,
 * the machine's load beside them, and the exponent of the best fit in logarithms. The longest part takes some twenty minutes on
 * two quiet cores.
 */
export async function benchGrowth(print: Print, { folder: kept, only }: GrowthOptions = {}): Promise<void> {
  const executablePath = findBrowser();
  if (executablePath === null) return print('no Chromium or Chrome was found');
  const folder = kept ?? mkdtempSync(join(tmpdir(), 'moulinet-bench-'));
  const size = Number(/^(\d+) takes$/.exec(only ?? '')?.[1]);
  try {
    print(`${availableParallelism()} cores, load ${load()}`);
    if (only !== 'workspaces' && !size)
      await benchLengths(print, { folder, executablePath, only: only === 'lengths' ? undefined : only });
    if (only === undefined || only === 'workspaces' || size)
      await benchWorkspaces(print, { folder, executablePath, sizes: size ? [size] : SIZES });
  } finally {
    if (kept === undefined) rmSync(folder, { recursive: true, force: true });
  }
}
