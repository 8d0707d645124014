import fc from 'fast-check';
import { expect, test } from 'vitest';
import { formatPlace, parsePlace } from '../../web/state/address.ts';
import { SWEPT_MAPS } from '../../web/state/model.ts';
import { VIEWS } from '../../web/state/views.ts';

test('whatever the page shows comes back from its address', () => {
  const place = fc.record({
    takeId: fc.option(fc.stringMatching(/^[a-z0-9][a-z0-9-]{0,20}$/)),
    seen: fc.oneof(
      fc.constantFrom({ window: null, isWindowOpen: true }, { window: null, isWindowOpen: false }),
      fc
        .tuple(fc.nat(3_600_000_000), fc.integer({ min: 20_000, max: 3_600_000_000 }))
        .map(([startUs, length]) => ({
          window: { startUs, endUs: startUs + length },
          isWindowOpen: false,
        })),
    ),
    pressIndex: fc.option(fc.nat(1000)),
    momentUs: fc.option(fc.nat(3_600_000_000)),
    view: fc.constantFrom(...VIEWS),
    sweptMap: fc.constantFrom(...SWEPT_MAPS),
    takeScope: fc.oneof(
      fc.constantFrom({ kind: 'open' as const }, { kind: 'all' as const }),
      fc
        .array(fc.stringMatching(/^[a-z0-9][a-z0-9-]{0,20}-[0-9a-f]{8}$/), { maxLength: 6 })
        .map((ids) => ({ kind: 'chosen' as const, ids: new Set(ids) })),
    ),
    judge: fc.constantFrom(null, 'presses' as const, 'motion' as const),
    patienceMs: fc.integer({ min: 50, max: 900 }),
    shown: fc.constantFrom(
      { slot: 'a' as const, showB: true },
      { slot: 'b' as const, showB: true },
      { slot: 'a' as const, showB: false },
    ),
  });
  fc.assert(
    fc.property(place, ({ shown, seen, ...rest }) => {
      // Without a take there is nothing to show all of.
      const isWindowOpen = seen.isWindowOpen || (seen.window === null && rest.takeId === null);
      const expected = { ...rest, ...shown, ...seen, isWindowOpen };
      expect(parsePlace(`#${formatPlace(expected)}`)).toEqual(expected);
    }),
  );
});

test.each([
  ['nothing', '', { takeId: null, window: null, isWindowOpen: true, pressIndex: null }],
  ['all of a take', '#take=one&shows=whole', { takeId: 'one', window: null, isWindowOpen: false }],
  ['a take alone', '#take=one', { takeId: 'one', window: null, isWindowOpen: true }],
  ['an id that walks out', '#take=../../etc', { takeId: null }],
  ['a window that ends before it starts', '#take=one&from=5&to=2', { takeId: 'one', window: null }],
  ['times that are no numbers', '#take=one&from=x&to=y', { takeId: 'one', window: null }],
  ['a view that is none', '#view=nowhere&take=one', { view: 'tune', takeId: 'one' }],
  [
    'no word of Sweep, as before it had any',
    '#view=sweep&take=one&candidate=a,b',
    { sweptMap: 'guard', takeScope: { kind: 'open' } },
  ],
  [
    'takes that are none',
    '#view=sweep&sweep=all&takes=../x,/',
    { sweptMap: 'guard', takeScope: { kind: 'open' } },
  ],
  ['a map that is none', '#view=sweep&sweep=parry', { sweptMap: 'guard' }],
  [
    'some takes that are none',
    '#takes=one,../x,two',
    { takeScope: { kind: 'chosen', ids: new Set(['one', 'two']) } },
  ],
  ['a judge and a patience that are none', '#judge=chance&patience=9000', { judge: null, patienceMs: 300 }],
  ['a moment before the take', '#take=one&at=-2', { takeId: 'one', momentUs: null }],
  ['press 0', '#take=one&press=0', { takeId: 'one', pressIndex: null }],
])('an address with %s still opens the page', (_name, hash, expected) => {
  expect(parsePlace(hash)).toMatchObject(expected);
});
