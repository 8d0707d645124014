import { expect, test } from 'vitest';
import type { EvidenceTake, KeptSetting, SettingEvidence } from '../../../server/engine/kept/keptSetting.ts';
import { changesSince, changesText, settingFor, takesFor } from '../../../server/engine/kept/stale.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';

const take = (id: string, performer: string, prop = '', fingerprint = `of ${id}`) => ({
  id,
  title: `Take ${id}`,
  performer,
  prop,
  fingerprint,
});

const TAKES = [take('1', 'Ada'), take('2', 'Ada', 'red'), take('3', 'Bo'), take('4', '')];

function setting(
  change: Partial<KeptSetting> = {},
  judgedOn: readonly ReturnType<typeof take>[] = [],
): KeptSetting {
  const takes = judgedOn.map((one) => one as unknown as EvidenceTake);
  return {
    name: 'One',
    prop: '',
    performers: ['Ada'],
    note: '',
    keptAt: '2026-05-01T10:00:00.000Z',
    candidate: DEFAULT_CANDIDATE,
    evidence: { program: '1', takes } as unknown as SettingEvidence,
    ...change,
  };
}

test('it is judged on its performers\u2019 takes, however their names are spelt, and on its prop where a take names one', () => {
  const ids = (change: Partial<KeptSetting>) => takesFor(setting(change), TAKES).map(({ id }) => id);
  expect(ids({})).toEqual(['1', '2']);
  expect(ids({ performers: [' ADA '] })).toEqual(['1', '2']);
  expect(ids({ performers: [] })).toEqual(['1', '2', '3', '4']);
  expect(ids({ prop: 'blue' })).toEqual(['1']);
  expect(ids({ prop: 'Red' })).toEqual(['1', '2']);
});

test('nothing has changed where takes, labels and program are the same', () => {
  const judged = setting({}, [TAKES[0]!, TAKES[1]!]);
  expect(changesSince(judged, TAKES, '1')).toEqual([]);
  expect(changesText([])).toBe('');
});

test('labelled anew, gone and new takes are told by title, and another program', () => {
  const judged = setting({}, [take('1', 'Ada', '', 'older'), take('9', 'Ada')]);
  const changes = changesSince(judged, TAKES, '2');
  expect(changes).toEqual([
    { kind: 'program', version: '1' },
    { kind: 'changed', titles: ['Take 1'] },
    { kind: 'gone', titles: ['Take 9'] },
    { kind: 'added', titles: ['Take 2'] },
  ]);
  expect(changesText(changes)).toBe(
    'Judged by version 1 of the program. Labels or calibration have changed since: Take 1. No longer among its takes: Take 9. Not judged on yet: Take 2.',
  );
});

test('a take whose performer was renamed is no longer among its takes', () => {
  const judged = setting({}, [TAKES[0]!, TAKES[1]!]);
  const renamed = [{ ...TAKES[0]!, performer: 'Cy' }, TAKES[1]!];
  expect(changesSince(judged, renamed, '1')).toEqual([{ kind: 'gone', titles: ['Take 1'] }]);
});

test('one that was never judged says so', () => {
  expect(changesSince(setting({ evidence: null }), TAKES, '1')).toEqual([{ kind: 'unjudged' }]);
});

test('a performer\u2019s own setting is the one for the prop, else the one kept last; one for anybody is nobody\u2019s own', () => {
  const anybody = setting({ name: 'all', performers: [] });
  const older = setting({ name: 'older' });
  const newer = setting({ name: 'newer', keptAt: '2026-06-01T10:00:00.000Z' });
  const red = setting({ name: 'red', prop: 'red' });
  const nameFor = (of: (typeof TAKES)[number], all: readonly KeptSetting[]) =>
    settingFor(of, all)?.name ?? null;
  expect(nameFor(TAKES[0]!, [anybody])).toBeNull();
  expect(nameFor(TAKES[0]!, [anybody, newer, older])).toBe('newer');
  expect(nameFor(TAKES[1]!, [newer, older, red])).toBe('red');
  expect(nameFor(TAKES[2]!, [newer, older, red])).toBeNull();
});
