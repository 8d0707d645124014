import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    root: fileURLToPath(new URL('..', import.meta.url)),
    pool: 'threads',
    testTimeout: 30_000,
    hookTimeout: 60_000,
    projects: [
      {
        extends: true,
        test: { name: 'unit', include: ['test/**/*.test.ts'], exclude: ['test/browser/**'] },
      },
      {
        // One after the other, and after the rest: each has a server and a browser of its own.
        extends: true,
        test: {
          name: 'browser',
          include: ['test/browser/**/*.test.ts'],
          // A second thread's work, a save, an answer: late where others use the machine too, and none of it is timed.
          testTimeout: 120_000,
          expect: { poll: { timeout: 30_000 } },
          fileParallelism: false,
          sequence: { groupOrder: 1 },
        },
      },
    ],
  },
});
