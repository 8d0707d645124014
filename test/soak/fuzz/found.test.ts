import { expect, test } from 'vitest';
import { smallLog } from '../../store/smallLog.ts';
import { readSoundly } from './readLog.ts';

// What the fuzzers have found, each as a case of its own.

test('a stretch that stands in a log twice, the button going down in it, gives one press and none that ends before it begins', async () => {
  const lines = smallLog().split('\n');
  const text = [...lines.slice(0, 22), ...lines].join('\n');
  const take = await readSoundly(Buffer.from(text));
  expect(take?.presses).toEqual([{ button: 'power_button', downUs: 200_000, upUs: 300_000 }]);
});
