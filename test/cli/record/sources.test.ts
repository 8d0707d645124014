import { appendFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { expect, test } from 'vitest';
import { chooseSource } from '../../../server/cli/record/chooseSource.ts';
import { growingFile } from '../../../server/cli/record/fileSource.ts';
import { pause, type Source } from '../../../server/cli/record/source.ts';
import { streamSource } from '../../../server/cli/record/streamSource.ts';
import { temporaryFolder } from '../../store/temporaryFolder.ts';

/** Listens to a source; what comes stands in one text, with what is told of it in brackets. */
function listen(source: Source) {
  const stop = new AbortController();
  const never = new AbortController().signal;
  let heard = '';
  const hear = (text: string): void => {
    heard += text;
  };
  const sink = {
    bytes: (chunk: Uint8Array) => hear(Buffer.from(chunk).toString()),
    lost: (why: string) => hear(`[${why}]`),
    back: () => hear('[back]'),
  };
  const ended = source.listen(sink, stop.signal);
  return {
    until: async (end: string) => {
      while (!heard.endsWith(end)) await Promise.race([pause(2, never), ended]);
    },
    stop: async () => {
      stop.abort();
      return [await ended, heard];
    },
    ended: async () => [await ended, heard],
  };
}

test('a file is read from its first byte on, and then as it grows', async () => {
  const path = join(temporaryFolder(), 'log.csv');
  writeFileSync(path, 'a\n');
  const listening = listen(growingFile(path));
  await listening.until('a\n');
  appendFileSync(path, 'b');
  await listening.until('b');
  appendFileSync(path, '\nc\n');
  expect(await listening.stop()).toEqual(['stopped', 'a\nb\nc\n']);
});

test('a file that is begun anew, or put in the place of another, goes on behind a gap', async () => {
  const path = join(temporaryFolder(), 'log.csv');
  writeFileSync(path, 'first\n');
  const listening = listen(growingFile(path));
  await listening.until('first\n');
  writeFileSync(path, '2\n');
  await listening.until('2\n');
  writeFileSync(`${path}.new`, 'third\n');
  renameSync(`${path}.new`, path);
  await listening.until('third\n');
  rmSync(path);
  await listening.until('no longer there]');
  writeFileSync(path, 'fourth\n');
  await listening.until('fourth\n');
  const [, heard] = await listening.stop();
  expect(heard).toBe(
    `first\n[${path} was cut short and begun anew][back]2\n[${path} was put in another's place][back]third\n[${path} is no longer there][back]fourth\n`,
  );
});

test('a stream ends by itself, and its last line with it', async () => {
  const { ended } = listen(
    streamSource('a pipe', () => Readable.from([Buffer.from('1\n'), Buffer.from('2')])),
  );
  expect(await ended()).toEqual(['ended', '1\n2']);
});

test('a stream that never ends can be stopped', async () => {
  const endless = new Readable({ read() {} });
  endless.push('1\n');
  const listening = listen(streamSource('a pipe', () => endless));
  await listening.until('1\n');
  expect(await listening.stop()).toEqual(['stopped', '1\n']);
});

test('what is neither device nor pipe nor file is refused', () => {
  const folder = temporaryFolder();
  expect(() => chooseSource(folder, 9600)).toThrow('is no serial device, no pipe and no file');
  expect(() => chooseSource(join(folder, 'nothing'), 9600)).toThrow('check its name');
  expect(chooseSource('-', 9600).name).toBe('standard input');
});
