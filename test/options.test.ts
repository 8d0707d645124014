import { expect, test } from 'vitest';
import { parseServerOptions, UsageError } from '../server/options.ts';

test('options as they are given, and as they are without', () => {
  expect(parseServerOptions([])).toEqual({
    port: 4620,
    workspace: null,
    demo: true,
    open: false,
    help: false,
  });
  expect(parseServerOptions(['--port', '0', '--workspace', 'corps', '--no-demo', '--open'])).toMatchObject({
    port: 0,
    workspace: 'corps',
    demo: false,
    open: true,
  });
});

test.each([
  ['a port in words', ['--port', 'any'], '--port must be a whole number from 0 to 65535, not any.'],
  ['a port too high', ['--port', '65536'], '--port must be a whole number from 0 to 65535, not 65536.'],
  ['a workspace without a name', ['--workspace', ''], '--workspace needs the name of a folder.'],
  ['an unknown option', ['--loud'], "Unknown option '--loud'"],
  ['a word that is no option', ['start'], "Unexpected argument 'start'"],
])('misuse is told as such: %s', (_claim, args, why) => {
  expect(() => parseServerOptions(args)).toThrow(UsageError);
  expect(() => parseServerOptions(args)).toThrow(why);
});
