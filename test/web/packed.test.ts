import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { Found, type FoundStore } from '../../web/takes/found.ts';
import { pack, recallPacked, unpack } from '../../web/takes/packed.ts';

const column = fc.oneof(
  fc.array(fc.integer({ min: -(2 ** 31), max: 2 ** 31 - 1 })).map((values) => Int32Array.from(values)),
  fc.array(fc.double()).map((values) => Float64Array.from(values)),
  fc.uint8Array(),
);
const value = fc.letrec((tie) => ({
  any: fc.oneof(
    { maxDepth: 3 },
    column,
    fc.double(),
    fc.string(),
    fc.constantFrom(null, undefined, true, Number.NaN, -0),
    fc.array(tie('any'), { maxLength: 4 }),
    fc.dictionary(
      fc.string({ maxLength: 3 }).filter((name) => name !== 'isPlace' && name !== '__proto__'),
      tie('any'),
      { maxKeys: 4, noNullPrototype: true },
    ),
  ),
})).any;

describe('what is packed', () => {
  test('comes back as it was, as a database keeps it', async () => {
    const property = fc.asyncProperty(value, async (one) => {
      expect(await unpack(structuredClone(await pack(one)))).toStrictEqual(one);
    });
    await fc.assert(property, { numRuns: 200, seed: 3 });
  });

  test('a view into a longer buffer takes its own part alone, and one that stands twice does so again', async () => {
    const cells = new Float64Array([1, 2, 3, 4]).subarray(1, 3);
    const back = (await unpack(await pack({ a: cells, b: [cells] }))) as {
      a: Float64Array;
      b: Float64Array[];
    };
    expect(back.a).toEqual(Float64Array.of(2, 3));
    expect(back.b[0]).toBe(back.a);
    expect(back.a.buffer.byteLength).toBe(16);
  });

  test('a map of few values takes a fraction of its room', async () => {
    const map = Int32Array.from({ length: 4819 }, (_, i) => Math.floor(i / 900));
    const { bytes, sizeBytes } = await pack(map);
    expect(sizeBytes).toBe(4820 * 4);
    expect(bytes.length).toBeLessThan(sizeBytes / 10);
  });

  test.each<[string, unknown]>([
    ['Float32Array', new Float32Array(2)],
    ['Map', { inside: [new Map([[1, 2]])] }],
    ['Set', new Set([1])],
    ['Date', new Date(0)],
  ])('a %s, which has no place, is refused', async (name, one) => {
    await expect(pack(one)).rejects.toThrow(`no place for a ${name}`);
  });
});

describe('what was found before', () => {
  const kept = new Map<string, unknown>();
  const store: FoundStore = {
    get: async (keys) => keys.map((key) => structuredClone(kept.get(key))),
    put: async (key, one) => void kept.set(key, structuredClone(one)),
  };
  const found = new Found(store, 'code');
  const recall = (asked: unknown, work: () => Promise<unknown>) =>
    recallPacked(found, { basis: { signals: 'log' }, asked }, work);

  test('is unpacked and not worked out again; other labels are', async () => {
    let times = 0;
    const work = async () => ({ grid: Float64Array.of(++times, Number.NaN) });
    expect(await recall(['labels', 1], work)).toEqual({ grid: Float64Array.of(1, Number.NaN) });
    expect(await recall(['labels', 1], work)).toEqual({ grid: Float64Array.of(1, Number.NaN) });
    expect(await recall(['labels', 2], work)).toEqual({ grid: Float64Array.of(2, Number.NaN) });
  });

  test('and is damaged, is worked out again', async () => {
    const work = async () => Int32Array.of(5);
    await recall('damaged', work);
    const [key, one] = [...kept].at(-1)!;
    kept.set(key, { ...(one as object), bytes: new Uint8Array([1, 2, 3]) });
    expect(await recall('damaged', work)).toEqual(Int32Array.of(5));
    kept.set(key, 'nothing of the kind');
    expect(await recall('damaged', work)).toEqual(Int32Array.of(5));
  });
});
