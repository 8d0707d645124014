import { beforeEach, describe, expect, test, vi } from 'vitest';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import type { TakeDocument, TakeOverview } from '../../server/http/schemas.ts';
import { fromAfar, lookFromAfar } from '../../web/state/overview.ts';
import { dispatch } from '../../web/state/store.ts';

const asked = vi.hoisted(() => ({ answer: null as TakeOverview | null, count: 0 }));

vi.mock('../../web/api.ts', async (load) => ({
  ...(await load<object>()),
  fetchOverview: async () => {
    ++asked.count;
    if (asked.answer === null) throw new Error('gone');
    return asked.answer;
  },
}));

const calibration = { ...DEFAULT_CALIBRATION, bias: 'auto' as const };
const overview: TakeOverview = {
  key: 'k',
  calibration,
  smoothing: DEFAULT_CANDIDATE.smoothing,
  durationUs: 3.6e9,
  lowsDps: [0, 1],
  highsDps: [5, null],
};

const documentOf = (rateHz: number): TakeDocument =>
  ({ id: 'an-hour', calibration, report: { durationS: 3600, rateHz } }) as TakeDocument;

vi.stubGlobal('requestAnimationFrame', (paint: () => void) => setTimeout(paint));

beforeEach(() => {
  asked.answer = overview;
  asked.count = 0;
  fromAfar.value = null;
  dispatch({ type: 'takeOpened', takeId: 'an-hour' });
});

describe('a take from afar', () => {
  test('is shown of a long one', async () => {
    await lookFromAfar(documentOf(1000));
    expect(fromAfar.value).toMatchObject({ takeId: 'an-hour', highsDps: [5, null] });
  });

  test('is not asked for of a short one, and what another showed is gone', async () => {
    await lookFromAfar(documentOf(1000));
    await lookFromAfar(documentOf(10));
    expect(fromAfar.value).toBeNull();
    expect(asked.count).toBe(1);
  });

  test.each([
    ['with another calibration', { calibration: { ...calibration, mount: { tip: '+y', side: '+z' } } }],
    ['with another smoothing', { smoothing: { ...DEFAULT_CANDIDATE.smoothing, cutoffHz: 3 } }],
  ])('is not shown where it was made %s', async (_name, other) => {
    asked.answer = { ...overview, ...(other as Partial<TakeOverview>) };
    await lookFromAfar(documentOf(1000));
    expect(fromAfar.value).toBeNull();
  });

  test('is not shown once another take is chosen, and is missed by nobody where there is none', async () => {
    const looking = lookFromAfar(documentOf(1000));
    dispatch({ type: 'takeOpened', takeId: 'another' });
    await looking;
    expect(fromAfar.value).toBeNull();
    asked.answer = null;
    await lookFromAfar(documentOf(1000));
    expect(fromAfar.value).toBeNull();
  });
});
