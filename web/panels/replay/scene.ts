import type { Segment } from '../../../server/engine/base/log.ts';
import { segmentAt } from '../../../server/engine/base/timeBase.ts';
import { sampleOf } from '../../../server/engine/detect/pressRule.ts';
import { intentOf, type Labels } from '../../../server/engine/labels/labels.ts';
import type { BladePath } from '../../../server/engine/motion/bladePath.ts';
import { type LightState, lightAt } from '../../../server/engine/replay/light.ts';
import type { Story } from '../../../server/engine/replay/story.ts';
import { TRAIL_US } from '../../../server/engine/replay/trail.ts';
import type { PropEvent } from '../../../server/engine/score/listEvents.ts';
import { firstAfter, firstAtOrAfter, firstWhere } from '../../../server/engine/statistics/sorted.ts';
import { type Fate, fateOf } from '../../state/fate.ts';
import type { Verdicts } from '../../state/verdicts.ts';

/** A mark on the trail: what happened, and at which sample. */
export interface Mark {
  readonly kind: Exclude<PropEvent['kind'], 'press' | 'dial'> | Fate;
  readonly index: number;
}

/** What is to be seen at one moment of one candidate. */
export interface Scene {
  readonly path: BladePath;
  readonly timeline: { readonly timeUs: Float64Array; readonly segments: readonly Segment[] };
  readonly closed: Uint8Array;
  /** null in a gap. */
  readonly index: number | null;
  readonly light: LightState;
  readonly marks: readonly Mark[];
  /** Push along the blade, now and where it was hardest along the trail. */
  readonly thrustG: number;
  readonly hardestG: number;
  readonly isUnsure: boolean;
}

export function sceneAt(
  tUs: number,
  path: BladePath,
  { verdict, story, events }: { verdict: Verdicts; story: Story; events: readonly PropEvent[] },
  labels: Labels,
): Scene {
  const { signals, closed } = verdict;
  const index = sampleOf(signals, tUs);
  const from = index === null ? 0 : signals.timeUs[segmentAt(signals.segments, index).start]!;
  return {
    path,
    timeline: signals,
    closed: closed.asSamples,
    index,
    light: lightAt(story.light, tUs),
    marks: index === null ? [] : marksOf(recentEvents(events, tUs, from), signals.timeUs, labels),
    thrustG: index === null ? 0 : signals.thrustG[index]!,
    hardestG:
      index === null
        ? 0
        : hardest(signals.thrustG, firstAtOrAfter(signals.timeUs, oldestOf(tUs, from)), index),
    isUnsure: path.unsure.some(({ startUs, endUs }) => startUs <= tUs && tUs <= endUs),
  };
}

/** Those of a list in time order that the trail still shows. */
export function recentEvents(events: readonly PropEvent[], tUs: number, fromUs = 0): readonly PropEvent[] {
  const oldest = oldestOf(tUs, fromUs);
  const first = firstWhere(events.length, (k) => events[k]!.timeUs >= oldest);
  const end = firstWhere(events.length, (k) => events[k]!.timeUs > tUs);
  return events.slice(first, end);
}

function oldestOf(tUs: number, fromUs: number): number {
  return Math.max(fromUs, tUs - TRAIL_US);
}

function hardest(thrustG: Float64Array, from: number, to: number): number {
  let most = 0;
  for (let i = from; i <= to; ++i) if (Math.abs(thrustG[i]!) > Math.abs(most)) most = thrustG[i]!;
  return most;
}

export function fateOfEvent(event: PropEvent & { readonly kind: 'press' }, labels: Labels): Fate {
  return fateOf(event.facts, intentOf(labels, event.facts.press)?.intent ?? null);
}

function marksOf(events: readonly PropEvent[], timeUs: Float64Array, labels: Labels): Mark[] {
  return events.flatMap((event): Mark[] => {
    if (event.kind === 'dial') return [];
    const index = Math.max(0, firstAfter(timeUs, event.timeUs) - 1);
    return [{ index, kind: event.kind === 'press' ? fateOfEvent(event, labels) : event.kind }];
  });
}
