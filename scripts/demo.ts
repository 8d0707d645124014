import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { replaceFile } from '../server/store/atomicFile.ts';
import { DEMO_TAKES, demoFiles } from './simulate/demo/demoTakes.ts';

/** Writes the demo takes anew: `npm run demo [folder]`, without a folder into `fixtures`. */
const folder = process.argv[2] ?? 'fixtures';
mkdirSync(folder, { recursive: true });
for (const demo of DEMO_TAKES) {
  for (const { name, text } of demoFiles(demo)) {
    await replaceFile(join(folder, name), text);
    console.log(`${join(folder, name)}: ${(text.length / 1024).toFixed(0)} kB`);
  }
}
