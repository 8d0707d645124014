import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';

const PROJECT = fileURLToPath(new URL('..', import.meta.url));

/** What an area may import from, beside itself. A trailing colon stands for packages and Node's own modules. */
const MAY_IMPORT: Readonly<Record<string, readonly string[]>> = {
  'server/engine': ['npm:simple-statistics', 'npm:fft.js', 'npm:csv-parse'],
  'server/ingest': ['server/engine', 'server/errors.ts', 'npm:csv-parse'],
  'server/store': [
    'server/engine',
    'server/ingest',
    'server/errors.ts',
    'node:',
    'npm:ajv',
    'npm:yazl',
    'npm:yauzl',
  ],
  'server/http': [
    'server/engine',
    'server/ingest',
    'server/store',
    'server/errors.ts',
    'node:',
    'npm:fastify',
    'npm:@fastify/static',
    'npm:typebox',
  ],
  'server/cli': [
    'server/engine',
    'server/ingest',
    'server/store',
    'server/errors.ts',
    'node:',
    'npm:hyparquet-writer',
  ],
  'server/errors.ts': [],
  web: ['server/engine', 'npm:preact', 'npm:@preact/signals', 'npm:uplot'],
};

/** The rooms of an area, from the ground up: each may import from those before it and from itself. */
const ROOMS: Readonly<Record<string, readonly string[]>> = {
  'server/engine': [
    'statistics',
    'base',
    'filter',
    'spectrum',
    'orientation',
    'calibrate',
    'motion',
    'labels',
    'truth',
    'detect',
    'settings',
    'prop',
    'score',
    'device',
    'check',
    'sweep',
    'explain',
    'replay',
    'choose',
    'compare',
    'plan',
    'words',
    'kept',
    'export',
  ],
  'server/ingest': ['ground', 'text', 'layout', 'units', 'roles', 'table', 'clock', 'take', 'preview'],
};

/** What puts the areas together, and so may import all of them. */
const ABOVE_ALL: readonly string[] = [
  'server/main.ts',
  'server/options.ts',
  'server/openBrowser.ts',
  'server/noGlob.ts',
];

/** Types only: they are gone once built. */
const MAY_IMPORT_TYPES: Readonly<Record<string, readonly string[]>> = {
  web: ['server/http/schemas.ts'],
};

/** Lines of a file that a reader still holds in the head. */
const LONG = 300;

/** What the engine may not even name: it has no clock, no chance and no world around it. */
const IMPURE =
  /\b(Date\.now|new Date|Math\.random|performance\.now|setTimeout|setInterval|fetch|console|process|await)\b/;

interface Import {
  readonly from: string;
  readonly target: string;
  readonly isType: boolean;
}

const files = ['server', 'web', 'scripts', 'test'].flatMap((folder) => sourcesIn(join(PROJECT, folder)));
const imports = files.flatMap((file) => importsOf(file));

describe('directions of imports', () => {
  test.each(Object.keys(MAY_IMPORT))('%s imports only what it may', (area) => {
    const own = imports.filter(({ from }) => isIn(from, area));
    const types = MAY_IMPORT_TYPES[area] ?? [];
    const wrong = own.filter(({ from, target, isType }) => {
      // How a program is built is no part of it.
      if (from.endsWith('vite.config.ts')) return false;
      const allowed = [area, ...MAY_IMPORT[area]!, ...(isType ? types : [])];
      return !allowed.some((one) => isAllowed(target, one));
    });
    expect(wrong.map(({ from, target }) => `${from} -> ${target}`)).toEqual([]);
  });

  test('every area is under these rules', () => {
    const known = [...Object.keys(MAY_IMPORT), ...ABOVE_ALL];
    const areas = files.filter((file) => file.startsWith('server/') && !file.endsWith('vite.config.ts'));
    expect(areas.filter((file) => !known.some((area) => isIn(file, area)))).toEqual([]);
  });
});

describe.each(Object.entries(ROOMS))('inner order of %s', (area, rooms) => {
  const roomOf = (file: string) => file.split('/')[2]!;
  const inner = imports.filter(({ from, target }) => isIn(from, area) && isIn(target, area));

  test('every file stands in a room', () => {
    expect(files.filter((file) => isIn(file, area) && !rooms.includes(roomOf(file)))).toEqual([]);
  });

  test('a room imports, types too, from itself and from what is below it', () => {
    const upward = inner.filter(
      ({ from, target }) => rooms.indexOf(roomOf(target)) > rooms.indexOf(roomOf(from)),
    );
    expect(upward.map(({ from, target }) => `${from} -> ${target}`)).toEqual([]);
  });

  test('no files import one another in a circle, types too', () => {
    expect(circles(inner)).toEqual([]);
  });
});

test('no files of the page import one another in a circle, types too', () => {
  expect(circles(imports.filter(({ from, target }) => isIn(from, 'web') && isIn(target, 'web')))).toEqual([]);
});

test('the engine names no clock, no chance and no outside world', () => {
  const impure = files
    .filter((file) => isIn(file, 'server/engine'))
    .flatMap((file) =>
      codeLines(file)
        .filter((line) => IMPURE.test(line))
        .map((line) => `${file}: ${line.trim()}`),
    );
  expect(impure).toEqual([]);
});

test('no file is longer than 300 lines', () => {
  const long = files.filter((file) => lineCount(file) > LONG);
  expect(long.map((file) => `${file}: ${lineCount(file)}`)).toEqual([]);
});

/** Paths from the project's folder, with `/` on every system. */
function sourcesIn(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return sourcesIn(path);
    return /\.tsx?$/.test(entry.name) ? [relative(PROJECT, path).split(sep).join('/')] : [];
  });
}

function importsOf(file: string): Import[] {
  const pattern =
    /(?:^|\n)\s*(?:import|export)\s+(type\s)?(?:[^'"();]*?\sfrom\s+)?'([^']+)'|\bimport\(\s*'([^']+)'\s*\)|new URL\(\s*'(\.[^']+\.tsx?)'/g;
  return [...read(file).matchAll(pattern)].map(([, type, fixed, lazy, url]) => ({
    from: file,
    target: resolved(file, (fixed ?? lazy ?? url)!),
    isType: type !== undefined,
  }));
}

function resolved(from: string, target: string): string {
  if (target.startsWith('node:')) return target;
  if (!target.startsWith('.')) return `npm:${packageOf(target)}`;
  return relative(PROJECT, join(PROJECT, dirname(from), target.replace(/\?.*$/, '')))
    .split(sep)
    .join('/');
}

function packageOf(target: string): string {
  return target
    .split('/')
    .slice(0, target.startsWith('@') ? 2 : 1)
    .join('/');
}

function isAllowed(target: string, allowed: string): boolean {
  return allowed === 'node:' ? target.startsWith('node:') : target === allowed || isIn(target, allowed);
}

function isIn(file: string, area: string): boolean {
  return file === area || file.startsWith(`${area}/`);
}

/** The lines without their comments. */
function codeLines(file: string): string[] {
  return read(file)
    .replace(/\/\*[\s\S]*?\*\//g, '')
    .split('\n')
    .map((line) => line.replace(/\/\/.*$/, ''));
}

function lineCount(file: string): number {
  return read(file).split('\n').length - 1;
}

function read(file: string): string {
  return readFileSync(join(PROJECT, file), 'utf8');
}

/** What is left of the imports once files that import nothing, or only such files, are taken away again and again. */
function circles(among: readonly Import[]): string[] {
  let left = [...among];
  for (;;) {
    const importers = new Set(left.map(({ from }) => from));
    const still = left.filter(({ target }) => importers.has(target));
    if (still.length === left.length) return left.map(({ from, target }) => `${from} -> ${target}`);
    left = still;
  }
}
