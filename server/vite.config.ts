import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';
import { sourcesStamp } from '../scripts/stamp.mjs';

const project = (path: string): string => fileURLToPath(new URL(`../${path}`, import.meta.url));

/** Every program that runs under Node, by the name of its built file. */
const PROGRAMS: Readonly<Record<string, string>> = {
  main: 'server/main.ts',
  ingestWorker: 'server/store/ingestWorker.ts',
  cli: 'server/cli/main.ts',
  demo: 'scripts/demo.ts',
  bench: 'scripts/bench.ts',
};

/** Packages go into the built files too: opening a few hundred small files costs more than the whole start. */
export default defineConfig({
  root: project('.'),
  publicDir: false,
  logLevel: 'warn',
  define: { SOURCES_STAMP: JSON.stringify(sourcesStamp()) },
  // These serve the bench alone: the browser's driver is large, the database holds native code.
  ssr: { noExternal: true, external: ['playwright-core', '@duckdb/node-api'] },
  resolve: { alias: { glob: project('server/noGlob.ts') } },
  build: {
    ssr: true,
    outDir: '.build/server',
    target: 'node20',
    rolldownOptions: {
      input: Object.fromEntries(
        Object.entries(PROGRAMS)
          .map(([name, path]) => [name, project(path)] as const)
          .filter(([, path]) => existsSync(path)),
      ),
      output: { entryFileNames: '[name].js', chunkFileNames: 'shared/[name]-[hash].js' },
    },
  },
});
