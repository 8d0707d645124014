import { type ChildProcess, type SpawnSyncReturns, spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { cpSync, mkdirSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { sourcesStamp } from '../../scripts/stamp.mjs';
import { temporaryFolder } from '../store/temporaryFolder.ts';

const PROJECT = fileURLToPath(new URL('../..', import.meta.url));

describe('npm run build', () => {
  test('it builds server and page; again with --if-stale only where something changed', () => {
    const project = smallProject();
    expect(build(project).status).toBe(0);
    expect(readFileSync(join(project, '.build/server/main.js'), 'utf8')).toContain('first');
    expect(readFileSync(join(project, '.build/web/index.html'), 'utf8')).toContain('script');
    expect(readdirSync(join(project, '.build')).sort()).toEqual(['server', 'stamp', 'web']);

    expect(build(project, '--if-stale').stderr).not.toContain('Building');
    writeMain(project, 'second');
    expect(build(project, '--if-stale').stderr).toContain('Building');
    expect(readFileSync(join(project, '.build/server/main.js'), 'utf8')).toContain('second');
  });

  test.each([
    ['server', (project: string) => writeMain(project, "' + (")],
    ['page', (project: string) => writeFileSync(join(project, 'web/main.ts'), 'export const = 1;')],
  ])(
    'a %s that cannot be built leaves the old build as it was, and the next start tries again',
    (_part, spoil) => {
      const project = smallProject();
      build(project);
      const before = [
        read(project, 'server/main.js'),
        read(project, 'web/index.html'),
        read(project, 'stamp'),
      ];
      spoil(project);
      expect(build(project).status).not.toBe(0);
      expect([
        read(project, 'server/main.js'),
        read(project, 'web/index.html'),
        read(project, 'stamp'),
      ]).toEqual(before);
      expect(build(project, '--if-stale').status).not.toBe(0);
      expect(readdirSync(join(project, '.build'))).not.toContain('building');
    },
  );

  test('two at once do not get in each other’s way, and build once', async () => {
    const project = smallProject();
    const builds = [start(project), start(project)];
    const ends = await Promise.all(builds.map(ending));
    expect(ends.map(({ code }) => code)).toEqual([0, 0]);
    expect(ends.filter(({ text }) => text.includes('Building'))).toHaveLength(1);
    expect(read(project, 'server/main.js')).toContain('first');
  });

  test('the lock of a build that was killed holds nobody up', () => {
    const project = smallProject();
    mkdirSync(join(project, '.build'));
    writeFileSync(join(project, '.build/building'), String(spawnSync(process.execPath, ['-e', '']).pid));
    expect(build(project).status).toBe(0);
  });
});

describe('the stamp', () => {
  test.each([
    ['a changed source', (project: string) => writeMain(project, 'other'), false],
    ['a new file', (project: string) => writeFileSync(join(project, 'web/new.ts'), ''), false],
    ['a removed file', (project: string) => rmSync(join(project, 'web/main.ts')), false],
    [
      'a changed lock file',
      (project: string) => writeFileSync(join(project, 'package-lock.json'), '{ }'),
      false,
    ],
    ['a touched file', (project: string) => writeMain(project, 'first'), true],
    ['a changed test', (project: string) => writeFileSync(join(project, 'a.test.ts'), ''), true],
  ])('%s: the build is as fresh as before: %s', (_claim, change, isSame) => {
    const project = smallProject();
    const before = sourcesStamp(project);
    change(project);
    expect(sourcesStamp(project) === before).toBe(isSame);
  });
});

/** The build's own scripts and settings with next to nothing to build. */
function smallProject(): string {
  const project = temporaryFolder();
  cpSync(join(PROJECT, 'scripts'), join(project, 'scripts'), {
    recursive: true,
    filter: (path) => !/\.ts$/.test(path) || /\.d\.mts$/.test(path),
  });
  for (const folder of ['server/store', 'web', 'node_modules'])
    mkdirSync(join(project, folder), { recursive: true });
  for (const part of ['server', 'web']) {
    cpSync(join(PROJECT, part, 'vite.config.ts'), join(project, part, 'vite.config.ts'));
  }
  for (const name of ['package.json', 'tsconfig.json']) cpSync(join(PROJECT, name), join(project, name));
  writeFileSync(join(project, 'package-lock.json'), '{"packages":{}}');
  writeFileSync(join(project, 'node_modules/.package-lock.json'), '{"packages":{}}');
  for (const name of readdirSync(join(PROJECT, 'node_modules'))) {
    if (!name.startsWith('.'))
      symlinkSync(join(PROJECT, 'node_modules', name), join(project, 'node_modules', name));
  }
  writeMain(project, 'first');
  writeFileSync(join(project, 'server/store/ingestWorker.ts'), "console.log('worker');\n");
  writeFileSync(join(project, 'web/index.html'), '<script type="module" src="./main.ts"></script>');
  writeFileSync(join(project, 'web/main.ts'), "document.title = 'page';\n");
  return project;
}

function writeMain(project: string, text: string): void {
  writeFileSync(join(project, 'server/main.ts'), `console.log('${text}');\n`);
}

function build(project: string, ...args: string[]): SpawnSyncReturns<string> {
  return spawnSync(process.execPath, ['scripts/build.mjs', ...args], { cwd: project, encoding: 'utf8' });
}

function start(project: string): ChildProcess {
  return spawn(process.execPath, ['scripts/build.mjs', '--if-stale'], { cwd: project });
}

async function ending(child: ChildProcess): Promise<{ code: number; text: string }> {
  let text = '';
  child.stderr?.on('data', (chunk) => {
    text += chunk;
  });
  const [code] = await once(child, 'close');
  return { code, text };
}

function read(project: string, path: string): string {
  return readFileSync(join(project, '.build', path), 'utf8');
}
