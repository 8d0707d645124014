import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { run as receive } from '../../server/cli/receive.ts';
import { run as share } from '../../server/cli/share.ts';
import { smallLog } from '../store/smallLog.ts';
import { addSmallTake, openWorkspace } from '../store/temporaryWorkspace.ts';
import { makeFolder, runCli } from './runCli.ts';

const folder = makeFolder();
afterAll(folder.remove);

test('takes go from one workspace into another, which is told of first', async () => {
  const [from, to, zip] = ['from', 'to', 'takes.zip'].map(folder.path) as [string, string, string];
  const workspace = await openWorkspace(from);
  const { id } = await addSmallTake(workspace);
  await workspace.close();

  expect((await runCli(share, '--workspace', from, '--out', zip)).out).toBe(`${zip}: 1 take\n`);
  const source = readdirSync(join(from, 'takes', id, 'source')).map((name) =>
    join(from, 'takes', id, 'source', name),
  )[0]!;
  const over = await runCli(share, '--workspace', from, '--out', source);
  expect([over.code, readFileSync(source, 'utf8')]).toEqual([2, smallLog()]);
  const look = await runCli(receive, zip, '--workspace', to);
  expect(look.out).toBe('Slow carry (Beginner): new\nNothing was changed: --apply brings it in.\n');
  expect((await runCli(receive, zip, '--workspace', to, '--apply')).out).toContain('1 of 1 takes came in.');
  expect((await runCli(receive, zip, '--workspace', to)).out).toContain('here already, the same');

  const other = await openWorkspace(to);
  expect(other.takes.list()).toMatchObject([{ id, title: 'Slow carry' }]);
  // Open elsewhere, it is left alone.
  const { code, err } = await runCli(receive, zip, '--workspace', to, '--apply');
  expect(code).toBe(1);
  expect(err).toContain('open');
});

test('a take that is not there is named, and no zip is written', async () => {
  const { code, err } = await runCli(
    share,
    '--workspace',
    folder.path('empty'),
    '--take',
    'x-1',
    '--out',
    folder.path('no.zip'),
  );
  expect(code).toBe(1);
  expect(err).toContain('no such take');
});

test.each([
  [share, ['--out', 'x'], '--workspace is missing'],
  [share, ['--workspace', 'x'], '--out is missing'],
  [receive, ['--workspace', 'x'], 'name one file to receive'],
  [receive, ['x.zip'], '--workspace is missing'],
  [receive, ['nowhere.zip', '--workspace', 'x'], 'nowhere.zip'],
] as const)('%o %j makes no sense', async (program, argv, words) => {
  const { code, err } = await runCli(program, ...argv);
  expect(code).toBe(2);
  expect(err).toContain(words);
});
