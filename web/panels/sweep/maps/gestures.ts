import type { GestureEvidence } from '../../../../server/engine/choose/gestures/evidence.ts';
import { GESTURE_PROBLEMS } from '../../../../server/engine/choose/gestures/gestureProblems.ts';
import {
  type GestureBase,
  type GestureMapKind,
  gestureMap,
  withXY,
} from '../../../../server/engine/choose/gestures/maps.ts';
import type { MissCause } from '../../../../server/engine/choose/gestures/missCauses.ts';
import type { GestureGrid } from '../../../../server/engine/choose/gestures/take.ts';
import type { Candidate } from '../../../../server/engine/settings/candidate.ts';
import { DEFAULT_CANDIDATE } from '../../../../server/engine/settings/candidateRules.ts';
import type { GesturePart } from '../../../../server/engine/sweep/gestureSweep.ts';
import { gestureBasis, leftOutText } from '../../../../server/engine/words/choose/basis.ts';
import { GESTURE_NAMES } from '../../../../server/engine/words/choose/problems.ts';
import { wrongGesture } from '../../../../server/engine/words/choose/wrong.ts';
import type { GestureJob } from '../../../sweep/jobs.ts';
import { countFigure, delayFigure, outsideFigure } from '../Figure.tsx';
import { fireLayers, shownMs } from '../layers.ts';
import type { MapView } from './mapView.ts';

type GestureView = MapView<GesturePart, GestureGrid, GestureEvidence, MissCause>;

export const GESTURE_VIEWS: Readonly<Record<GestureMapKind, GestureView>> = {
  stab: viewOf(
    'stab',
    ['Stab: thrust and quiet before', 'stab needs a thrust of, g', 'blade quiet before it for, ms'],
    'With the smoothing, the stab’s other settings and the impact’s of the candidate under edit, which come along.',
  ),
  impact: viewOf(
    'impact',
    ['Impact: level and rise', 'impact from, g', 'level rises per 100 °/s, by g'],
    'With the smoothing and the impact’s other settings of the candidate under edit, which come along. A stab’s hit is told by a part of this level: look at the map of Stab afterwards.',
  ),
  twist: viewOf(
    'twist',
    ['Twist: turn and time', 'twist fires at a turn of, °', 'turned within, ms'],
    'With the smoothing and the twist’s other settings of the candidate under edit, which come along.',
  ),
};

/** @param along  what else of the candidate under edit the map rests on, and what else rests on the setting. */
function viewOf(
  kind: GestureMapKind,
  [title, xLabel, yLabel]: readonly [string, string, string],
  along: string,
): GestureView {
  const problem = GESTURE_PROBLEMS[kind];
  const { one, several, fires } = GESTURE_NAMES[kind];
  return {
    problem,
    title,
    xLabel,
    yLabel,
    layers: fireLayers<GesturePart, GestureGrid>(
      problem,
      `${several} missed or fired at again, and ${fires} outside any`,
      {
        missed: ['Missed', `${several} at which nothing fires`],
        again: ['Again', `${fires} beyond the first of a ${one}`],
        outside: ['Outside', `${fires} outside any ${one}`],
      },
      `median delay from the start of a ${one} to its fire, of the slowest take`,
      ({ sizes }) => (sizes.gestures === 0 ? `No ${one} is labelled in these takes.` : null),
      ({ sizes }) => (sizes.others === 0 ? `nothing but ${several}: no false one could show` : null),
    ),
    cellText({ wrong, sizes: { gestures }, timesMs }, cell) {
      if (gestures === 0) return `no ${one} to count`;
      const delayMs = timesMs.delayMedianMs[cell]!;
      return [
        `fires at ${gestures - wrong.missed[cell]!} of ${gestures} ${several}`,
        `again ${wrong.again[cell]}`,
        `outside ${wrong.outside[cell]}`,
        ...(Number.isNaN(delayMs) ? [] : [`delay ${shownMs(delayMs)}`]),
      ].join(' · ');
    },
    columns: [
      {
        part: 'missed',
        name: several,
        head: 'missed',
        title: `Labelled ${several} at which nothing fires`,
        isBad: true,
      },
      {
        part: 'again',
        name: 'again',
        head: 'again',
        title: `Fires beyond the first of a ${one}`,
        isBad: true,
        isPlainCount: true,
      },
      {
        part: 'outside',
        name: 'outside',
        head: 'outside',
        title: `Fires outside any ${one}`,
        isBad: true,
        isPlainCount: true,
      },
    ],
    moreFires: 'again or outside',
    figures: ({ wrong: { missed, again, outside }, timesMs }, evidence) => [
      countFigure(kind, 'Missed', missed),
      { name: `Again at the same ${one}`, value: String(again.k) },
      outsideFigure(`Outside ${several}`, outside.k, evidence),
      ...delayFigure(timesMs),
    ],
    basis: (evidence) => `${gestureBasis(kind, evidence)}${leftOutText(evidence)} ${along}`,
    wrongText: (wrong) => wrongGesture(kind, wrong),
    moreWrong: ` ${several} or ${fires}`,
    taken(candidate, x, y) {
      const set = withXY(candidate, kind, x, y);
      return Object.fromEntries(gestureMap(kind).restsOn.map((group) => [group, set[group]]));
    },
    rulesName: 'smoothing and other settings',
    rulesOf: (candidate) => [candidate.smoothing, sweptBase(candidate, kind)],
    job: (takes, candidate): GestureJob => {
      return { kind, takes, smoothing: candidate.smoothing, base: sweptBase(candidate, kind) };
    },
  };
}

/** What of a candidate the map rests on: others must not start the job again. */
function sweptBase(candidate: Candidate, kind: GestureMapKind): GestureBase {
  const { x, y, restsOn } = gestureMap(kind);
  const own = Object.fromEntries(restsOn.map((group) => [group, candidate[group]]));
  return withXY({ ...DEFAULT_CANDIDATE, ...own }, kind, x.values[0]!, y.values[0]!);
}
