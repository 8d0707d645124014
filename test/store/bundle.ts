import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

/** One file of the project with all that it imports, built so that Node runs it in a process of its own. */
export async function bundleForNode(entry: string, outDir: string): Promise<string> {
  await build({
    configFile: false,
    root: fileURLToPath(new URL('../..', import.meta.url)),
    logLevel: 'warn',
    publicDir: false,
    ssr: { noExternal: true },
    build: {
      ssr: true,
      outDir,
      emptyOutDir: false,
      target: 'node20',
      rolldownOptions: { input: entry, output: { entryFileNames: 'bundle.mjs' } },
    },
  });
  return join(outDir, 'bundle.mjs');
}
