import type { ComponentType } from 'preact';
import type { OpenTake } from '../state/openTake.ts';
import type { View } from '../state/views.ts';
import { BenchView } from './bench/BenchView.tsx';
import { CompareView } from './compare/CompareView.tsx';
import { KeptSettingsView } from './kept/KeptSettingsView.tsx';
import { LiveMark } from './live/LiveMark.tsx';
import { LiveView } from './live/LiveView.tsx';
import { PlanView } from './plan/PlanView.tsx';
import { ReplayView } from './replay/ReplayParts.tsx';
import { ReversalsView } from './reversals/ReversalsView.tsx';
import { SignalMark } from './signal/SignalMark.tsx';
import { SignalView } from './signal/SignalView.tsx';
import { SweepView } from './sweep/SweepView.tsx';
import { TuneView } from './TuneView.tsx';

interface ViewParts {
  /** Shown while a take is open. */
  readonly Panel?: ComponentType<{ take: OpenTake }>;
  /** In its place, for what may look at other takes than the open one: shown while that one is still being read, too. */
  readonly Early?: ComponentType;
  /** In its place, for what is about the whole workspace: shown with or without an open take, on all of the width. */
  readonly Whole?: ComponentType;
  /** Whether settings and scores are folded away beside it until they are asked for. */
  readonly hasFoldedSide?: boolean;
  /** Stands beside the name. */
  readonly Mark?: ComponentType;
}

/** The components of each view. */
export const VIEW_PARTS: Readonly<Record<View, ViewParts>> = {
  tune: { Panel: TuneView },
  replay: { Panel: ReplayView, hasFoldedSide: true },
  reversals: { Panel: ReversalsView, hasFoldedSide: true },
  sweep: { Early: SweepView, hasFoldedSide: true },
  signal: { Panel: SignalView, Mark: SignalMark, hasFoldedSide: true },
  bench: { Panel: BenchView, hasFoldedSide: true },
  compare: { Whole: CompareView },
  plan: { Whole: PlanView },
  kept: { Whole: KeptSettingsView },
  live: { Whole: LiveView, Mark: LiveMark },
};
