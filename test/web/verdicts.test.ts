import { effect } from '@preact/signals';
import { beforeEach, describe, expect, test, vi } from 'vitest';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import { DEFAULT_CANDIDATE, type FieldPath } from '../../server/engine/settings/candidateRules.ts';
import type { Slot } from '../../web/state/model.ts';
import { documentSaved, takeStatus } from '../../web/state/openTake.ts';
import { movePlayhead, playheadUs } from '../../web/state/playhead.ts';
import { dispatch } from '../../web/state/store.ts';
import { stories as storyOf } from '../../web/state/story.ts';
import { truth, verdicts } from '../../web/state/verdicts.ts';
import { swingingTake } from './swingingTake.ts';

const counts = vi.hoisted(() => new Map<string, number>());

/** A call, by its name and by that of the detector where it is told one. */
const count = vi.hoisted(() => (name: string, of?: unknown) => {
  const key = typeof of === 'string' ? `${name} ${of}` : name;
  counts.set(key, (counts.get(key) ?? 0) + 1);
});

/** The functions of a module, each counted when it is called; its classes as they are. */
const counted = vi.hoisted(() => async (load: () => Promise<object>) => {
  const own = (await load()) as Record<string, unknown>;
  const wrap = (name: string, value: unknown) =>
    typeof value !== 'function' || /^[A-Z]/.test(name)
      ? value
      : (...args: unknown[]) => {
          count(name, args[0]);
          return value(...args);
        };
  return Object.fromEntries(Object.entries(own).map(([name, value]) => [name, wrap(name, value)]));
});

vi.mock('../../server/engine/motion/signals.ts', counted);
vi.mock('../../server/engine/detect/guard.ts', counted);
vi.mock('../../server/engine/detect/deflection.ts', counted);
vi.mock('../../server/engine/detect/speedRuns.ts', counted);
vi.mock('../../server/engine/detect/twistDial.ts', counted);
vi.mock('../../server/engine/detect/detectors.ts', async (load) => {
  const own = await load<typeof import('../../server/engine/detect/detectors.ts')>();
  const gestureDetector: typeof own.gestureDetector = (id) => {
    const detector = own.gestureDetector(id);
    const run: typeof detector.run = (...args) => {
      count('run', id);
      return detector.run(...args);
    };
    return { ...detector, run };
  };
  return { ...own, gestureDetector };
});
vi.mock('../../server/engine/detect/presses.ts', counted);
vi.mock('../../server/engine/truth/truth.ts', counted);
vi.mock('../../server/engine/score/guardScore.ts', counted);
vi.mock('../../server/engine/score/deflectionScore.ts', counted);
vi.mock('../../server/engine/score/dialScore.ts', counted);
vi.mock('../../server/engine/score/gestureScore.ts', counted);

const COUNTED = [
  'computeSignals',
  'findTruth',
  'runGuard',
  'closedSpans',
  'findClosedRuns',
  'judgePresses',
  'runDeflection',
  'findDeflections',
  'run impact',
  'run stab',
  'run twist',
  'runTwistDial',
  'scoreGuard',
  'scoreDeflection',
  'scoreDial',
  'scoreGesture impact',
  'scoreGesture stab',
  'scoreGesture twist',
];

/** What was computed while `act` ran, by name. */
function during(act: () => void): Partial<Record<string, number>> {
  counts.clear();
  act();
  return Object.fromEntries(
    COUNTED.flatMap((name) => ((counts.get(name) ?? 0) > 0 ? [[name, counts.get(name)!]] : [])),
  );
}

const drag = (slot: Slot, path: FieldPath, values: readonly number[]) => () => {
  for (const value of values) dispatch({ type: 'settingChanged', slot, path, value, gesture: 'a drag' });
};
const ten = Array.from({ length: 10 }, (_, i) => i);
const stray = { downUs: 2.5e6, button: 'power', intent: 'stray' as const, by: 'person' as const };

/** How often each verdict was told anew. */
const told: Record<Slot, number> = { a: 0, b: 0 };

beforeEach(() => {
  dispatch({ type: 'candidatesLoaded', a: DEFAULT_CANDIDATE, b: DEFAULT_CANDIDATE });
  dispatch({ type: 'takeOpened', takeId: 'x' });
  dispatch({ type: 'labelsLoaded', takeId: 'x', labels: EMPTY_LABELS });
  takeStatus.value = { kind: 'open', take: swingingTake('x') };
  const watch = (['a', 'b'] as const).map((slot) =>
    effect(() => {
      void verdicts[slot].value;
      ++told[slot];
    }),
  );
  Object.assign(told, { a: 0, b: 0 });
  return () => {
    for (const stop of watch) stop();
  };
});

describe('verdicts are computed again only where what they rest on has changed', () => {
  test('ten pans, another view, a chosen press, the other candidate under edit: nothing', () => {
    const done = during(() => {
      for (const i of ten) dispatch({ type: 'windowMoved', window: { startUs: i, endUs: 1e6 + i } });
      dispatch({ type: 'viewChosen', view: 'sweep' });
      dispatch({ type: 'pressChosen', pressIndex: 1 });
      dispatch({ type: 'slotChosen', slot: 'b' });
      dispatch({ type: 'secondShown', show: false });
    });
    expect(done).toEqual({});
    expect(told).toEqual({ a: 0, b: 0 });
  });

  test('ten frames of a replay: nothing, and no story is told anew', () => {
    let stories = 0;
    const stop = effect(() => {
      void [storyOf.a.value, storyOf.b.value];
      ++stories;
    });
    const done = during(() => {
      for (const i of ten) movePlayhead(i * 16_700);
    });
    stop();
    expect(playheadUs.value).toBe(9 * 16_700);
    expect(done).toEqual({});
    expect(told).toEqual({ a: 0, b: 0 });
    expect(stories).toBe(1);
  });

  test('ten drags of A’s guard: its guard and presses ten times, B and all else never', () => {
    const values = ten.map((i) => 300 + i);
    expect(during(drag('a', 'guard.speedDps', values))).toEqual({
      findClosedRuns: 10,
      judgePresses: 10,
      scoreGuard: 10,
    });
    expect(told).toEqual({ a: 10, b: 0 });
  });

  test.each([
    ['deflection.speedDps', 300, { findDeflections: 10, scoreDeflection: 10 }],
    ['stab.thrustG', 1, { 'run stab': 10, 'scoreGesture stab': 10 }],
    // A stab is ended by a hit.
    [
      'impact.impactG',
      4,
      { 'run impact': 10, 'run stab': 10, 'scoreGesture impact': 10, 'scoreGesture stab': 10 },
    ],
    ['twist.angleDeg', 50, { 'run twist': 10, runTwistDial: 10, scoreDial: 10, 'scoreGesture twist': 10 }],
  ] as const)('ten drags of A’s %s: its own detector', (path, from, expected) => {
    expect(
      during(
        drag(
          'a',
          path,
          ten.map((i) => from + 0.1 * (i + 1)),
        ),
      ),
    ).toEqual(expected);
    expect(told).toEqual({ a: 10, b: 0 });
  });

  test('ten drags of A’s smoothing: its signals ten times, B’s never, the truth never', () => {
    const { computeSignals, findTruth } = during(
      drag(
        'a',
        'smoothing.cutoffHz',
        ten.map((i) => 30 + i),
      ),
    );
    expect([computeSignals, findTruth]).toEqual([10, undefined]);
    expect(told).toEqual({ a: 10, b: 0 });
  });

  test('a press label: both scores of the guard and of what a simulation may have labelled; its save: nothing', () => {
    const labels = { ...EMPTY_LABELS, presses: [stray] };
    const label = during(() => dispatch({ type: 'labelsChanged', takeId: 'x', labels }));
    expect(label).toEqual({
      scoreGuard: 2,
      scoreDial: 2,
      'scoreGesture impact': 2,
      'scoreGesture stab': 2,
      'scoreGesture twist': 2,
    });
    expect(told).toEqual({ a: 1, b: 1 });
    const saved = during(() =>
      documentSaved(structuredClone({ ...swingingTake('x').document, labels, revision: 2 })),
    );
    expect(saved).toEqual({});
    expect(told).toEqual({ a: 1, b: 1 });
  });

  test('a label of another take: nothing', () => {
    const labels = { ...EMPTY_LABELS, presses: [stray] };
    expect(during(() => dispatch({ type: 'labelsLoaded', takeId: 'y', labels }))).toEqual({});
    expect(told).toEqual({ a: 0, b: 0 });
  });

  test('another motion, as a calibration makes it: everything once, the signals once for both', () => {
    const done = during(() => {
      takeStatus.value = { kind: 'open', take: swingingTake('x') };
    });
    expect(done).toMatchObject({ computeSignals: 1, findTruth: 1, findClosedRuns: 2, runTwistDial: 2 });
    expect(told).toEqual({ a: 1, b: 1 });
  });

  test('undo of a drag gives back what B shares: the same signals', () => {
    drag('a', 'smoothing.cutoffHz', [30, 31])();
    expect(verdicts.a.value?.signals).not.toBe(verdicts.b.value?.signals);
    dispatch({ type: 'undone' });
    expect(verdicts.a.value?.signals).toBe(verdicts.b.value?.signals);
  });
});

describe('what signals rest on', () => {
  test('candidates whose twist starts elsewhere have other signals', () => {
    const before = verdicts.a.value?.signals;
    dispatch({ type: 'settingChanged', slot: 'a', path: 'twist.startAt', value: 'takeStart', gesture: null });
    expect(verdicts.a.value?.signals).not.toBe(before);
    expect(verdicts.b.value?.signals).toBe(before);
  });

  test('presses of a document count only where a twist starts at them, and only where they are others', () => {
    const { document } = swingingTake('x');
    const more = { ...document, presses: document.presses.slice(1) };
    expect(during(() => documentSaved(more)).computeSignals).toBe(undefined);
    dispatch({ type: 'settingChanged', slot: 'a', path: 'twist.startAt', value: 'hold', gesture: null });
    expect(during(() => documentSaved(structuredClone(more))).computeSignals).toBe(undefined);
    expect(during(() => documentSaved(document)).computeSignals).toBe(1);
  });

  test('a press label leaves the truth the same object, a span’s does not', () => {
    const before = truth.value;
    dispatch({ type: 'labelsChanged', takeId: 'x', labels: { ...EMPTY_LABELS, presses: [stray] } });
    expect(truth.value).toBe(before);
    const spans = [{ startUs: 2e6, endUs: 6e6, kind: 'spinning', by: 'person' as const }];
    dispatch({ type: 'labelsChanged', takeId: 'x', labels: { ...EMPTY_LABELS, spans } });
    expect(truth.value).not.toBe(before);
  });

  test('without an open take there are none', () => {
    takeStatus.value = { kind: 'none' };
    expect([verdicts.a.value, verdicts.b.value, truth.value]).toEqual([null, null, null]);
  });
});
