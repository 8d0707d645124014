import { expect, test } from 'vitest';
import {
  buttonsOf,
  deflectionButtonOf,
  deflectionPressesOf,
  powerPressesOf,
} from '../../../server/engine/base/buttons.ts';

const press = (button: string, downUs: number) => ({ button, downUs, upUs: downUs + 1 });
const column = (name: string, unit = 'level', role = 'button') => ({ name, unit, role });
const presses = [press('power', 0), press('effect', 10), press('power', 20)];

test('presses of a button are those of its name, in their order', () => {
  expect(powerPressesOf({ presses, powerButton: 'power' }).map(({ downUs }) => downUs)).toEqual([0, 20]);
  expect(powerPressesOf({ presses, powerButton: null })).toEqual([]);
});

test('a button that has a column of its own is there before it is pressed; words of events are none', () => {
  const columns = [column('power'), column('aux'), column('events', 'edge'), column('x', '', 'gyroX')];
  expect(buttonsOf({ presses, mapping: { columns } })).toEqual(['power', 'effect', 'aux']);
  // One column that tells of several buttons names each after itself.
  expect(buttonsOf({ presses: [press('keys 2', 0)], mapping: { columns: [column('keys')] } })).toEqual([
    'keys 2',
  ]);
});

test.each<[string, Parameters<typeof deflectionButtonOf>[0], string | null, number | null]>([
  ['the only other one', { presses, powerButton: 'power' }, 'effect', 1],
  ['none where there is no other', { presses: [press('power', 0)], powerButton: 'power' }, null, null],
  [
    'none where several could be it',
    { presses: [...presses, press('aux', 30)], powerButton: 'power' },
    null,
    null,
  ],
  [
    'of several the one whose name says so',
    { presses: [...presses, press('Deflect', 30)], powerButton: 'power' },
    'Deflect',
    1,
  ],
  ['as somebody has said', { presses, powerButton: 'power', deflectionButton: 'power' }, 'power', 2],
  ['said to be none', { presses, powerButton: 'power', deflectionButton: null }, null, null],
  [
    'never pressed',
    {
      presses: [press('power', 0)],
      powerButton: 'power',
      mapping: { columns: [column('power'), column('aux')] },
    },
    'aux',
    0,
  ],
])('the deflection button: %s', (_name, take, button, count) => {
  expect(deflectionButtonOf(take)).toBe(button);
  expect(deflectionPressesOf(take)?.length ?? null).toBe(count);
});
