import {
  DETECTOR_IDS,
  type DetectorId,
  type GestureDetectorId,
} from '../../server/engine/detect/detectors.ts';
import type { NumberPath } from '../../server/engine/settings/candidateRules.ts';

export type StaveName = 'speed' | 'thrust' | 'twist' | 'impact';

/** A setting as a line on a stave, to be dragged. */
interface Line {
  readonly stave: StaveName;
  readonly path: NumberPath;
  readonly name: string;
  /** A fine line, shown while the settings of its detector are open. */
  readonly isQuiet?: boolean;
  readonly isMagnitude?: boolean;
}

interface Look {
  readonly lines: readonly Line[];
}

interface GestureLook extends Look {
  /** About the origin, 10 px across; labelled gestures have theirs hollow. */
  readonly mark: string;
  readonly isFilled?: boolean;
  /** Pixels by which the mark stands ahead of the sample at which it fires. */
  readonly aheadPx?: number;
}

/** How the page draws each detector. Its hue is the style sheet's variable of its id. */
const LOOKS: Readonly<Record<DetectorId, Look>> & Readonly<Record<GestureDetectorId, GestureLook>> = {
  guard: { lines: [{ stave: 'speed', path: 'guard.speedDps', name: 'guard' }] },
  deflection: { lines: [{ stave: 'speed', path: 'deflection.speedDps', name: 'deflection' }] },
  stab: {
    mark: 'M-5 -4L5 0L-5 4z',
    isFilled: true,
    // It fires with the hit that ends it.
    aheadPx: 9,
    lines: [
      { stave: 'thrust', path: 'stab.thrustG', name: 'stab' },
      { stave: 'speed', path: 'stab.quietDps', name: 'stab at most', isQuiet: true },
      { stave: 'speed', path: 'stab.untilHitDps', name: 'until hit', isQuiet: true },
    ],
  },
  impact: {
    mark: 'M0 -5V5M-4.5 -2.5L4.5 2.5M-4.5 2.5L4.5 -2.5',
    lines: [{ stave: 'impact', path: 'impact.impactG', name: 'impact' }],
  },
  twist: {
    mark: 'M-4.5 1.5A4.6 4.6 0 1 1 1.5 4.5M1.5 4.5L4 2M1.5 4.5L-1 2',
    lines: [
      { stave: 'twist', path: 'twist.angleDeg', name: 'twist', isMagnitude: true },
      { stave: 'speed', path: 'twist.quietDps', name: 'twist at most', isQuiet: true },
    ],
  },
};

export function gestureLook(id: GestureDetectorId): GestureLook {
  return LOOKS[id];
}

/** The lines of a stave, each with the hue of its detector. */
export function linesOn(stave: StaveName): readonly (Line & { readonly hue: DetectorId })[] {
  return DETECTOR_IDS.flatMap((hue) =>
    LOOKS[hue].lines.filter((line) => line.stave === stave).map((line) => ({ ...line, hue })),
  );
}
