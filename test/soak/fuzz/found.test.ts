import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import type { Overrides } from '../../../server/ingest/ground/types.ts';
import { smallLog } from '../../store/smallLog.ts';
import { temporaryFolder } from '../../store/temporaryFolder.ts';
import { openWorkspace } from '../../store/temporaryWorkspace.ts';
import { readSoundly } from './readLog.ts';

// What the fuzzers have found, each as a case of its own.

test('a stretch that stands in a log twice, the button going down in it, gives one press and none that ends before it begins', async () => {
  const lines = smallLog().split('\n');
  const text = [...lines.slice(0, 22), ...lines].join('\n');
  const take = await readSoundly(Buffer.from(text));
  expect(take?.presses).toEqual([{ button: 'power_button', downUs: 200_000, upUs: 300_000 }]);
});

test('whatever can be corrected of a log is remembered over a new start, the use of its clock too', async () => {
  const path = join(temporaryFolder(), 'workspace');
  const corrections: Required<Overrides> = {
    rateHz: 100,
    clock: 'even',
    timeUnit: 'ms',
    accelUnit: 'g',
    gyroUnit: 'rad/s',
    roles: [{ file: 0, index: 2, role: 'ignored' }],
    reversed: [{ file: 0, index: 1 }],
    mount: { tip: '-x', side: '+y' },
  };
  const first = await openWorkspace(path);
  const shape = [{ delimiter: ',', decimal: '.' as const, columns: ['t', 'x', 'y'] }];
  await first.mappings.remember(shape, corrections, 'a.csv', new Date(0).toISOString());
  await first.close();
  const second = await openWorkspace(path);
  expect(second.problems).toEqual([]);
  expect(second.mappings.list()[0]!.corrections).toEqual(corrections);
});

test.each<[string, (one: Record<string, unknown>) => object]>([
  ['a rate that is a record', (one) => ({ ...one, corrections: { rateHz: {} } })],
  ['a unit that is a list', (one) => ({ ...one, corrections: { timeUnit: [] } })],
  ['a role that is nothing', (one) => ({ ...one, corrections: { roles: [null] } })],
  ['a shape that is nothing', (one) => ({ ...one, shape: [null] })],
])('remembered columns with %s are told of in words', async (_claim, spoil) => {
  const path = join(temporaryFolder(), 'workspace');
  const first = await openWorkspace(path);
  const shape = [{ delimiter: ',', decimal: '.' as const, columns: ['t', 'x', 'y'] }];
  await first.mappings.remember(shape, { rateHz: 100 }, 'a.csv', new Date(0).toISOString());
  await first.close();
  const file = join(path, 'mappings.json');
  const document = JSON.parse(readFileSync(file, 'utf8'));
  writeFileSync(file, JSON.stringify({ ...document, mappings: document.mappings.map(spoil) }));
  const [problem = ''] = (await openWorkspace(path)).problems;
  expect(problem).toMatch(/^mappings\.json cannot be read: mappings\[0\]\.(corrections|shape)/);
  expect(problem).not.toMatch(/Cannot|\[object|is not a function/);
});
