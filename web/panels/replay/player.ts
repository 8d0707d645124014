import { effect, untracked } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { indexAtOrBefore } from '../../../server/engine/base/timeBase.ts';
import { nextMoment } from '../../../server/engine/replay/wrongMoments.ts';
import { clampWindow } from '../../charts/view.ts';
import { openTake, powerPresses } from '../../state/openTake.ts';
import { isPlaying, movePlayhead, playheadUs, playSpeed } from '../../state/playhead.ts';
import { dispatch, sight } from '../../state/store.ts';
import { shownWrongs } from '../../state/story.ts';
import { stillsOnly } from './stillsOnly.ts';

/** Longest time between two frames that counts: behind it the page was out of sight. */
const LONGEST_FRAME_MS = 250;
/** Where the playhead stands in the view once the view has followed it: a tenth from its start. */
const LEFT_PART = 0.1;

/** Runs the playhead while it plays and the replay is in sight. */
export function usePlayer(): void {
  useEffect(() => {
    const stop = effect(() => (isPlaying.value && !stillsOnly.value ? run() : undefined));
    return () => {
      stop();
      isPlaying.value = false;
    };
  }, []);
  useEffect(
    () =>
      effect(() => {
        // Once the take is open and judged.
        if (playheadUs.value === null && openTake.value) untracked(() => movePlayhead(firstPlace()));
      }),
    [],
  );
}

/** Plays from here, or from the start again where it stands at the end. */
export function togglePlay(): void {
  if (stillsOnly.peek()) return;
  const take = openTake.peek();
  if (!isPlaying.peek() && take && (playheadUs.peek() ?? 0) >= take.durationUs) movePlayhead(0);
  isPlaying.value = !isPlaying.peek();
}

/** Goes to a moment and stays there. */
export function showMoment(us: number): void {
  isPlaying.value = false;
  moveInSight(us);
}

/** To the next sample of the log, or the one before. */
export function stepSample(by: 1 | -1): void {
  const timeUs = openTake.peek()?.motion.timeUs;
  if (!timeUs || timeUs.length === 0) return;
  const at = playheadUs.peek() ?? 0;
  const index = indexAtOrBefore(timeUs, at);
  const to = by < 0 && timeUs[index] !== at ? index : index + by;
  showMoment(timeUs[Math.min(timeUs.length - 1, Math.max(0, to))]!);
}

export function stepTime(byUs: number): void {
  showMoment((playheadUs.peek() ?? 0) + byUs);
}

/** To the next wrong moment of the candidates in sight, or the one before; from an end round to the other. */
export function stepWrong(by: 1 | -1): void {
  const momentsUs = shownWrongs.peek().map(({ timeUs }) => timeUs);
  const sampleUs = 1e6 / (openTake.peek()?.motion.rateHz ?? 1e3);
  const found = nextMoment(momentsUs, playheadUs.peek() ?? 0, by, sampleUs);
  const to = found ?? (by > 0 ? momentsUs[0] : momentsUs.at(-1));
  if (to !== undefined) showMoment(to);
}

function run(): () => void {
  let lastMs: number | null = null;
  const tick = (nowMs: number): void => {
    frame = requestAnimationFrame(tick);
    const passedMs = lastMs === null ? 0 : Math.min(nowMs - lastMs, LONGEST_FRAME_MS);
    lastMs = nowMs;
    const to = (playheadUs.peek() ?? 0) + passedMs * 1000 * playSpeed.peek();
    moveInSight(to);
    if (to >= (openTake.peek()?.durationUs ?? 0)) isPlaying.value = false;
  };
  let frame = requestAnimationFrame(tick);
  return () => cancelAnimationFrame(frame);
}

/** Moves the playhead, and the window of the staves with it once it leaves that. */
function moveInSight(us: number): void {
  movePlayhead(us);
  const window = sight.window.peek();
  const at = playheadUs.peek();
  const durationUs = openTake.peek()?.durationUs ?? 0;
  if (window === null || at === null || (at >= window.startUs && at <= window.endUs)) return;
  const lengthUs = window.endUs - window.startUs;
  const startUs = at - LEFT_PART * lengthUs;
  dispatch({
    type: 'windowMoved',
    window: clampWindow({ startUs, endUs: startUs + lengthUs }, durationUs),
  });
}

/** Where a replay begins: at the chosen press, at the first wrong moment in sight, at the start of a zoomed view. */
export function firstPlace(): number {
  const press = powerPresses.peek()[sight.pressIndex.peek() ?? -1];
  if (press) return press.downUs;
  const window = sight.window.peek();
  const wrong = shownWrongs
    .peek()
    .find(({ timeUs }) => window === null || (timeUs >= window.startUs && timeUs <= window.endUs));
  return wrong?.timeUs ?? window?.startUs ?? 0;
}
