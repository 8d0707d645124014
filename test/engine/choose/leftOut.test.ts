import { expect, test } from 'vitest';
import { leftOutInTurn } from '../../../server/engine/choose/leftOut.ts';

interface Group {
  readonly key: string;
  readonly name: string;
  readonly takes: readonly string[];
}

/** Which takes go out together, under which name, with each take and with each performer left out. */
function groupsOf(takes: readonly ReturnType<typeof take>[]) {
  const swept = takes.map((take) => ({ take, part: { grid: take.id } }));
  return leftOutInTurn(swept, (parts) => {
    const groups = new Map<string, Group>();
    for (const { key, name, grid } of parts) {
      const group = groups.get(key) ?? { key, name, takes: [] };
      groups.set(key, { ...group, takes: [...group.takes, grid] });
    }
    return [...groups.values()].map(({ name, takes: together }) => [name, ...together]);
  });
}
const take = (id: string, title: string, performer: string) => ({ id, title, performer });

test('takes of one title are two takes', () => {
  const { byTake } = groupsOf([take('1', 'Slow eight', 'Ada'), take('2', 'Slow eight', 'Ada')]);
  expect(byTake).toEqual([
    ['Slow eight', '1'],
    ['Slow eight', '2'],
  ]);
});

test('all takes of a performer go out together, whatever lies between them', () => {
  const { byPerformer } = groupsOf([take('1', 'A', 'Ada'), take('2', 'B', 'Bo'), take('3', 'C', 'Ada')]);
  expect(byPerformer).toEqual([
    ['Ada', '1', '3'],
    ['Bo', '2'],
  ]);
});

test('a name written with other capitals or spaces is no second performer, on whose takes the first could be chosen for', () => {
  const { byPerformer } = groupsOf([
    take('1', 'A', 'Lead spinner'),
    take('2', 'B', 'lead  Spinner '),
    take('3', 'C', 'Beginner'),
  ]);
  expect(byPerformer).toEqual([
    ['Lead spinner', '1', '2'],
    ['Beginner', '3'],
  ]);
});

test('takes without a performer go out together, and are none of anybody so named', () => {
  const { byPerformer } = groupsOf([
    take('1', 'A', ''),
    take('2', 'B', 'no performer named'),
    take('3', 'C', '  '),
  ]);
  expect(byPerformer).toEqual([
    ['no performer named', '1', '3'],
    ['no performer named', '2'],
  ]);
});
