/**
 * Builds the server and the page into .build. Both are built aside and put in place together, so that a build that
 * fails leaves the old one as it was. `--if-stale` does nothing where nothing has changed.
 */
import { mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { ensureInstalled } from './install.mjs';
import { BUILD, checkNode, PROJECT } from './project.mjs';
import { isBuilt, STAMP_PATH, sourcesStamp } from './stamp.mjs';

const PARTS = ['server', 'web'];
const NEXT = join(BUILD, 'next');
const OLD = join(BUILD, 'old');
const LOCK = join(BUILD, 'building');
const WAIT_MS = 100;

checkNode();
ensureInstalled();
mkdirSync(BUILD, { recursive: true });
await lock();
try {
  if (!process.argv.includes('--if-stale') || !isBuilt()) await build();
} finally {
  rmSync(LOCK, { force: true });
}

async function build() {
  const startMs = performance.now();
  console.error('Building ...');
  // Taken first: a source changed meanwhile makes the next start build again.
  const stamp = sourcesStamp();
  const vite = await import('vite');
  rmSync(NEXT, { recursive: true, force: true });
  for (const part of PARTS) {
    await vite.build({
      configFile: join(PROJECT, part, 'vite.config.ts'),
      build: { outDir: join(NEXT, part), emptyOutDir: true },
    });
  }
  // What is loaded as a module must say so, wherever the folder is.
  writeFileSync(join(NEXT, 'server', 'package.json'), '{ "type": "module" }\n');
  swap();
  writeFileSync(STAMP_PATH, stamp);
  console.error(`Built in ${((performance.now() - startMs) / 1000).toFixed(1)} s.`);
}

function swap() {
  rmSync(STAMP_PATH, { force: true });
  rmSync(OLD, { recursive: true, force: true });
  mkdirSync(OLD);
  for (const part of PARTS) {
    moveIfThere(join(BUILD, part), join(OLD, part));
    renameSync(join(NEXT, part), join(BUILD, part));
  }
  rmSync(OLD, { recursive: true, force: true });
  rmSync(NEXT, { recursive: true, force: true });
}

function moveIfThere(from, to) {
  try {
    renameSync(from, to);
  } catch (error) {
    if (error.code !== 'ENOENT') throw error;
  }
}

/** Waits for another build to end; the lock of one that is gone does not count. */
async function lock() {
  for (;;) {
    try {
      writeFileSync(LOCK, String(process.pid), { flag: 'wx' });
      return;
    } catch (error) {
      if (error.code !== 'EEXIST') throw error;
    }
    if (!ownerRuns()) rmSync(LOCK, { force: true });
    else await new Promise((resolve) => setTimeout(resolve, WAIT_MS));
  }
}

function ownerRuns() {
  try {
    process.kill(Number(readFileSync(LOCK, 'utf8')), 0);
    return true;
  } catch (error) {
    return error.code === 'EPERM';
  }
}
