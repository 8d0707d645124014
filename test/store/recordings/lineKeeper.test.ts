import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { LineKeeper } from '../../../server/store/recordings/lineKeeper.ts';

function through(keeper: LineKeeper, ...chunks: string[]): { kept: string; joined: (string | null)[] } {
  const passed = chunks.map((chunk) => keeper.push(Buffer.from(chunk, 'latin1')));
  return {
    kept: passed.map(({ lines }) => lines.toString('latin1')).join(''),
    joined: passed.map(({ joined }) => joined).filter((text) => text !== null),
  };
}

describe('LineKeeper', () => {
  test('however the bytes are cut, whole lines pass as they are and the rest is held', () => {
    const text = fc.string({ unit: fc.constantFrom('1', ',', '\n', '\r', '\r\n', 'é') });
    fc.assert(
      fc.property(fc.array(text), (chunks) => {
        const all = chunks.join('');
        const keeper = new LineKeeper(false);
        const { kept } = through(keeper, ...chunks);
        const rest = keeper.takeRest().toString('latin1');
        expect(kept + rest).toBe(all);
        // A CR at the very end may be half of a line end, and waits with its line.
        expect(rest).toMatch(/^[^\r\n]*\r?$/);
      }),
    );
  });

  test('of a device the first line is put aside where the end of a row could look like it', () => {
    const rows = '12,3.4,5\n13,3.5,6\n';
    for (const first of ['45,0.1', '.1,2', '-3', 'x:0.1,y:2', '1e3', 'v = 5'])
      expect(through(new LineKeeper(true), `${first}\n${rows}`)).toEqual({ kept: rows, joined: [first] });
  });

  test.each(['t_us,ax1,ay2', '# 208 Hz', 'gyro x (°/s)', '', 'started'])('"%s" is kept', (first) => {
    const text = `${Buffer.from(first, 'utf8').toString('latin1')}\r\n12,3\r\n`;
    expect(through(new LineKeeper(true), text)).toEqual({ kept: text, joined: [] });
  });

  test('only the first line is doubted, though it comes in parts', () => {
    const keeper = new LineKeeper(true);
    expect(through(keeper, '4', '5,0.', '1\r', '\n1,2\r\n3,4\r\n')).toEqual({
      kept: '1,2\r\n3,4\r\n',
      joined: ['45,0.1'],
    });
  });

  test('what has no line end for 64 KiB is passed on all the same', () => {
    const keeper = new LineKeeper(false);
    const long = 'x'.repeat(70_000);
    expect(through(keeper, long).kept).toBe(long);
  });
});
