import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';
import { sourcesStamp } from '../scripts/stamp.mjs';

const project = (path: string): string => fileURLToPath(new URL(`../${path}`, import.meta.url));

export default defineConfig({
  root: project('web'),
  publicDir: false,
  logLevel: 'warn',
  define: { SOURCES_STAMP: JSON.stringify(sourcesStamp()) },
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  worker: { format: 'es' },
  build: {
    outDir: '../.build/web',
    emptyOutDir: true,
    target: 'es2022',
    // The page's policy lets no script in that is not a file of its own.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
});
