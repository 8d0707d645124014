import { expect, test } from 'vitest';
import { ByteCache } from '../../web/takes/byteCache.ts';

const of = (length: number) => ({ column: new Float64Array(length), name: 'x' });

test('what was used least recently goes first once all hold too many bytes', () => {
  const cache = new ByteCache<object>(800);
  cache.set('a', of(40));
  cache.set('b', of(40));
  cache.get('a');
  cache.set('c', of(21));
  expect(cache.keys()).toEqual(['a', 'c']);
});

test('the newest stays, however large', () => {
  const cache = new ByteCache<object>(800);
  cache.set('a', of(40));
  cache.set('b', of(400));
  expect(cache.keys()).toEqual(['b']);
});

test('a value that takes the place of another counts alone; arrays in one buffer count once', () => {
  const cache = new ByteCache<object>(800);
  for (let i = 0; i < 10; ++i) cache.set('a', of(50));
  const { buffer } = new Float64Array(50);
  cache.set('b', { whole: new Float64Array(buffer), part: new Float64Array(buffer, 8) });
  expect(cache.keys()).toEqual(['a', 'b']);
});
