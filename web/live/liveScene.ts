import { START_S } from '../../server/engine/orientation/gravityFilter.ts';
import { TRAIL_US } from '../../server/engine/replay/trail.ts';
import type { Mark, Scene } from '../panels/replay/scene.ts';
import type { Fate } from '../state/fate.ts';
import { BEGINS, CLOSED_A, CLOSED_B, FIRES_A, FIRES_B, type LiveFate, type LiveTrack } from './liveTrack.ts';

const BITS = { a: { closed: CLOSED_A, fires: FIRES_A }, b: { closed: CLOSED_B, fires: FIRES_B } } as const;
/** Nobody has labelled a press yet. */
const FATES: Readonly<Record<LiveFate, Fate>> = {
  acts: 'unlabelledAccepted',
  refused: 'unlabelledRefused',
  open: 'unknown',
};

/** What is to be seen of one candidate at the last sample that came, as the replay shows a moment of a take. */
export function liveScene(track: LiveTrack, slot: 'a' | 'b'): Scene {
  const from = firstShown(track);
  const count = track.count - from;
  const at = (i: number) => (from + i) % track.capacity;
  const timeUs = Float64Array.from({ length: count }, (_, i) => track.timeUs[at(i)]!);
  const q = new Float32Array(4 * count);
  const closed = new Uint8Array(count);
  const marks: Mark[] = [];
  let hardestG = 0;
  for (let i = 0; i < count; ++i) {
    q.set(track.q.subarray(4 * at(i), 4 * at(i) + 4), 4 * i);
    closed[i] = (track.marks[at(i)]! & BITS[slot].closed) === 0 ? 0 : 1;
    if ((track.marks[at(i)]! & BITS[slot].fires) !== 0) marks.push({ kind: 'deflection', index: i });
    if (Math.abs(track.thrustG[at(i)]!) > Math.abs(hardestG)) hardestG = track.thrustG[at(i)]!;
  }
  const lastUs = track.lastUs;
  for (const { timeUs: pressUs, fates } of track.presses) {
    const index = timeUs.findIndex((us) => us >= pressUs);
    if (index >= 0 && pressUs >= timeUs[0]!) marks.push({ kind: FATES[fates[slot]], index });
  }
  return {
    path: { q, unsure: [] },
    timeline: { timeUs, segments: [{ start: 0, end: count }] },
    closed,
    index: count === 0 ? null : count - 1,
    light: track.light[slot],
    marks: marks.sort((a, b) => a.index - b.index),
    thrustG: count === 0 ? 0 : track.thrustG[at(count - 1)]!,
    hardestG,
    // So long gravity is not told from a swing's pull.
    isUnsure: lastUs - track.beganUs < START_S * 1e6,
  };
}

/** The trail begins behind the last gap. */
function firstShown(track: LiveTrack): number {
  let first = track.count;
  const least = track.firstFrom(track.lastUs - TRAIL_US);
  while (first > least) {
    --first;
    if ((track.marks[first % track.capacity]! & BEGINS) !== 0) break;
  }
  return first;
}
