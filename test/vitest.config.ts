import { availableParallelism } from 'node:os';
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

const BROWSER = 'test/browser/**/*.test.ts';
const LONG = 'test/**/*.long.test.ts';
const PAGE = 'test/web/**/*.test.ts';

/**
 * Four groups, told by a file's path: `browser` what is in test/browser, `long` what is called `*.long.test.ts`, `page` the
 * rest of test/web, `quick` all else. A file is long if it simulates takes or starts the built program.
 */
export default defineConfig({
  test: {
    root: fileURLToPath(new URL('..', import.meta.url)),
    pool: 'threads',
    // All of them: the runner's own choice leaves one idle, which on two is half.
    maxWorkers: Math.max(2, availableParallelism()),
    // The files of a thread share what they import: loading the engine anew for each took half of the time.
    isolate: false,
    // The style of a setting's sheet is part of its text.
    css: { include: /sheet\.css/ },
    testTimeout: 30_000,
    hookTimeout: 60_000,
    projects: [
      {
        extends: true,
        test: { name: 'quick', include: ['test/**/*.test.ts'], exclude: [BROWSER, LONG, PAGE] },
      },
      {
        // The page's modules hold its state, and its tests replace some of them: here each file loads its own.
        extends: true,
        test: { name: 'page', include: [PAGE], exclude: [LONG], isolate: true },
      },
      {
        extends: true,
        // Compilers, simulations and servers: slow where others use the machine too, and none of it is timed.
        test: { name: 'long', include: [LONG], exclude: [BROWSER], testTimeout: 120_000 },
      },
      {
        // After the rest, in one browser: each file has a server and a workspace of its own.
        extends: true,
        test: {
          name: 'browser',
          include: [BROWSER],
          // A second thread's work, a save, an answer: late where others use the machine too, and none of it is timed.
          testTimeout: 120_000,
          expect: { poll: { timeout: 30_000 } },
          globalSetup: 'test/browser/globalSetup.ts',
          maxWorkers: 2,
          sequence: { groupOrder: 1 },
        },
      },
    ],
  },
});
