import type {
  Counts,
  EvidenceTake,
  KeptSetting,
  ProblemEvidence,
  SettingEvidence,
  SettingMap,
} from '../../../server/engine/kept/keptSetting.ts';
import { DEFAULT_CANDIDATE, withField } from '../../../server/engine/settings/candidateRules.ts';
import { wilsonInterval } from '../../../server/engine/statistics/wilson.ts';

/** A setting with evidence written by hand, every part of it there; no take says any of it. */
export const MADE_CANDIDATE = withField(
  withField(DEFAULT_CANDIDATE, 'guard.speedDps', 200),
  'guard.holdMs',
  240,
);

const share = (k: number, n: number) => ({ k, n, interval: wilsonInterval(k, n) });
const count = (k: number, n: number) => ({ kind: 'count' as const, ...share(k, n) });

export function madeTake(over: Partial<EvidenceTake> = {}): EvidenceTake {
  return {
    id: 'full-routine-1',
    title: 'Full routine',
    performer: 'Lead spinner',
    prop: 'Lantern blade',
    session: '2026-04-18, firmware 12',
    isSynthetic: false,
    sources: [{ name: 'routine-2026-04-18.csv', sha256: '0123456789abcdef'.repeat(4) }],
    fingerprint: 'f1',
    labels: { stray: 12, wanted: 11, swings: 64, spins: 4, gestures: 3, byPerson: 90 },
    leftOut: null,
    cautions: [],
    ...over,
  };
}

/** Rising with the distance from a region in the middle. */
export function madeMap(xs: readonly number[], ys: readonly number[]): SettingMap {
  const wrong: (number | null)[] = [];
  const plateau: (0 | 1)[] = [];
  for (const [i, x] of xs.entries()) {
    for (const [j] of ys.entries()) {
      const far = Math.max(Math.abs(i - xs.length * 0.4) - 4, Math.abs(j - ys.length * 0.6) - 5, 0);
      wrong.push(x < xs[2]! ? null : Math.round(far));
      plateau.push(far === 0 ? 1 : 0);
    }
  }
  return { xs, ys, wrong, of: 40, plateau };
}

export const spaced = (from: number, to: number, step: number): number[] =>
  Array.from({ length: Math.round((to - from) / step) + 1 }, (_, i) => Number((from + i * step).toFixed(6)));

const guardWrong: Counts = { strays: share(0, 29), wanted: share(1, 34) };

export const MADE_GUARD: ProblemEvidence = {
  kind: 'guard',
  x: 200,
  y: 240,
  declined: null,
  wrong: guardWrong,
  suggested: { x: 200, y: 240 },
  margins: {
    x: { low: 170, high: 260, worseBelow: 160, worseAbove: 270 },
    y: { low: 190, high: 400, worseBelow: 180, worseAbove: null },
  },
  byTake: {
    folds: 5,
    wrong: guardWrong,
    worst: { name: 'Full routine', wrong: { strays: share(0, 12), wanted: share(1, 11) } },
  },
  byPerformer: { folds: 3, wrong: guardWrong, worst: null },
  stress: [
    { name: 'gyroMore', wrong: { strays: 0, wanted: 1 }, flips: 0, moreFires: 0 },
    { name: 'halfRate', wrong: { strays: 1, wanted: 1 }, flips: 1, moreFires: 0 },
  ],
  map: madeMap(spaced(40, 600, 10), spaced(0, 500, 10)),
};

export const MADE_EVIDENCE: SettingEvidence = {
  judgedAt: '2026-05-02T09:15:00.000Z',
  program: '0.1.0',
  takes: [
    madeTake(),
    madeTake({
      id: 'duel-2',
      title: 'Duel',
      performer: 'Stage duellist',
      cautions: ['peaks on clipped samples'],
    }),
    madeTake({ id: 'demo-3', title: 'First lesson', performer: 'Beginner', isSynthetic: true }),
    madeTake({ id: 'unfit-4', title: 'Rehearsal', leftOut: 'the gyro axes disagree with gravity' }),
  ],
  scores: {
    strays: count(0, 29),
    wanted: count(1, 34),
    open: { kind: 'share', share: 0.004, ofS: 71.5 },
    wait: { kind: 'ms', ms: 246.4 },
    missed: count(3, 190),
    twice: count(0, 190),
    outside: { kind: 'number', n: 2 },
    delay: { kind: 'ms', ms: 61 },
    stabMissed: count(1, 12),
    stabFalse: { kind: 'number', n: 0 },
  },
  groups: [
    {
      by: 'performer',
      name: 'Lead spinner',
      scores: { strays: count(0, 12), wanted: count(1, 11), missed: count(0, 64) },
    },
    {
      by: 'performer',
      name: 'Stage duellist',
      scores: { strays: count(0, 17), wanted: count(0, 23), missed: count(3, 126) },
    },
  ],
  stills: [
    {
      takeId: 'duel-2',
      title: 'Duel',
      atUs: 12_345_000,
      intent: 'wanted',
      text: 'refused by the hold: 38 °/s at the press',
      light: 'lit',
      tip: [0.6, 0, 0.8],
      trail: [
        { isClosed: true, points: [1, 0, 0, 0.8, 0, 0.6] },
        { isClosed: false, points: [0.8, 0, 0.6, 0.6, 0, 0.8] },
      ],
    },
  ],
  problems: [
    MADE_GUARD,
    {
      ...MADE_GUARD,
      kind: 'deflection',
      x: 240,
      y: 0.6,
      wrong: { missed: share(3, 190), twice: share(0, 190), outside: { k: 2, n: 64.5, interval: null } },
      suggested: { x: 230, y: 0.55 },
      margins: {
        x: { low: 240, high: 250, worseBelow: 230, worseAbove: 260 },
        y: { low: 0.05, high: 0.7, worseBelow: null, worseAbove: 0.75 },
      },
      byTake: null,
      byPerformer: null,
      stress: [{ name: 'gyroLess', wrong: { missed: 5, twice: 0, outside: 2 }, flips: 2, moreFires: 0 }],
      map: madeMap(spaced(60, 600, 10), spaced(0.05, 1, 0.05)),
    },
    {
      kind: 'stab',
      x: 1,
      y: 200,
      declined: 'Only 3 thrusts are labelled, too few to choose by: it takes 5.',
      wrong: {
        missed: share(1, 3),
        again: { k: 0, n: 3, interval: null },
        outside: { k: 0, n: 64, interval: null },
      },
      suggested: null,
      margins: null,
      byTake: null,
      byPerformer: null,
      stress: [],
      map: null,
    },
  ],
  chosen: {
    smoothing: 'default',
    guard: 'suggested',
    deflection: 'hand',
    stab: 'default',
    impact: 'default',
    twist: 'default',
  },
};

export function madeSetting(over: Partial<KeptSetting> = {}): KeptSetting {
  return {
    name: 'Lead spinner, spring',
    prop: 'Lantern blade',
    performers: ['Lead spinner', 'Stage duellist'],
    note: 'For the parade route with two stops.',
    keptAt: '2026-05-02T09:15:02.000Z',
    candidate: MADE_CANDIDATE,
    evidence: MADE_EVIDENCE,
    ...over,
  };
}
