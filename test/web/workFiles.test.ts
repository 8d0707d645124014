import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { EMPTY_LABELS, type Labels } from '../../server/engine/labels/labels.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { exportCandidate, pickCandidate } from '../../web/state/candidateFiles.ts';
import { chooseFile } from '../../web/state/chooseFiles.ts';
import { exportLabels, importLabels } from '../../web/state/labelFiles.ts';
import { dismiss, notices, notify } from '../../web/state/notices.ts';
import { openLabels, takeStatus } from '../../web/state/openTake.ts';
import { saveFile } from '../../web/state/saveFile.ts';
import { candidates, dispatch } from '../../web/state/store.ts';
import { swingingTake } from './swingingTake.ts';

vi.mock('../../web/state/saveFile.ts');
vi.mock('../../web/state/chooseFiles.ts');

const take = swingingTake('t');
const texts = () => notices.value.map(({ text }) => text);

beforeEach(() => {
  vi.useFakeTimers();
  notices.value = [];
  dispatch({ type: 'takeOpened', takeId: 't' });
  takeStatus.value = { kind: 'open', take: { ...take, document: { ...take.document, title: 'Spin' } } };
  dispatch({ type: 'labelsLoaded', takeId: 't', labels: LABELS });
});
afterEach(() => vi.useRealTimers());

const LABELS: Labels = {
  ...EMPTY_LABELS,
  presses: [{ downUs: 2_500_000, button: 'power', intent: 'wanted', by: 'person' }],
};

describe('labels as a file', () => {
  test.each(['json', 'csv'] as const)('of %s come back as they went', async (form) => {
    exportLabels(form);
    const [name, text] = vi.mocked(saveFile).mock.lastCall!;
    expect(name).toBe(`t.labels.${form}`);
    dispatch({ type: 'labelsChanged', takeId: 't', labels: EMPTY_LABELS });
    await importLabels(new File([text], name));
    expect(openLabels.value.presses).toEqual(LABELS.presses);
    expect(texts()).toEqual([`1 label from ${name} took the place of this take’s.`]);
    notices.value[0]!.action!.run();
    expect([openLabels.value, texts()]).toEqual([EMPTY_LABELS, ['Undone: press 1 has no label.']]);
  });

  test('that do not fit the take are told of; what is no label file changes nothing', async () => {
    const span = (startUs: number) => `span,${startUs},${startUs + 1e6},,,still,person\n`;
    const text = `what,startUs,endUs,peakUs,button,kind,by\n${span(1e6)}${span(1e8)}`;
    await importLabels(new File([text], 'late.csv'));
    expect(openLabels.value.spans.length).toBe(1);
    expect(texts()[0]).toMatch(/^1 label from late\.csv took the place of this take’s\. .*1 label beyond/);
    dispatch({ type: 'undone' });
    expect([openLabels.value, texts()]).toEqual([LABELS, []]);
    await importLabels(new File(['{'], 'bad.json'));
    expect(openLabels.value).toBe(LABELS);
    expect([notices.value[0]!.kind, texts()[0]]).toEqual(['error', expect.stringMatching(/^bad\.json: /)]);
  });

  test('without an open take there is none to write or to read into', async () => {
    takeStatus.value = { kind: 'none' };
    vi.mocked(saveFile).mockClear();
    exportLabels('csv');
    await importLabels(new File(['x'], 'x.csv'));
    expect([vi.mocked(saveFile).mock.calls, texts()]).toEqual([[], []]);
  });
});

describe('a candidate as a file', () => {
  const pick = async (slot: 'a' | 'b', text: string) => {
    pickCandidate(slot);
    vi.mocked(chooseFile).mock.lastCall![1](new File([text], 'mine.json'));
    await vi.waitFor(() => expect(texts().length).toBe(1));
  };

  test('comes back as it went, in the place of either', async () => {
    const candidate = { ...DEFAULT_CANDIDATE, guard: { ...DEFAULT_CANDIDATE.guard, speedDps: 321 } };
    dispatch({ type: 'candidatesLoaded', a: candidate, b: DEFAULT_CANDIDATE });
    exportCandidate('a');
    const [name, text] = vi.mocked(saveFile).mock.lastCall!;
    expect(name).toBe('candidate-a.json');
    await pick('b', text);
    expect(candidates.b.value).toEqual(candidate);
    expect(texts()).toEqual(['Candidate B is now the one of mine.json.']);
  });

  test('that is none is refused', async () => {
    const before = candidates.a.value;
    await pick('a', '{}');
    expect([candidates.a.value, notices.value[0]!.kind]).toEqual([before, 'error']);
  });
});

describe('notices', () => {
  test('a fact leaves after eight seconds, an error once it is dismissed', () => {
    notify('fact', 'done');
    const id = notify('error', 'broken');
    vi.advanceTimersByTime(7999);
    expect(texts()).toEqual(['broken', 'done']);
    vi.advanceTimersByTime(1);
    expect(texts()).toEqual(['broken']);
    vi.advanceTimersByTime(60_000);
    dismiss(id);
    expect(texts()).toEqual([]);
  });

  test('errors stand before facts, the three newest facts after them; a topic has one', () => {
    for (const text of ['1', '2', '3', '4']) notify('fact', text);
    notify('error', 'first');
    notify('error', 'second');
    notify('fact', '5');
    expect(texts()).toEqual(['first', 'second', '3', '4', '5']);
    notify('fact', 'undone', undefined, 'history');
    notify('fact', 'done again', undefined, 'history');
    notify('error', 'first');
    expect(texts()).toEqual(['second', 'first', '4', '5', 'done again']);
  });
});
