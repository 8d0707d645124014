import { judgeSpins, judgeStops } from '../../server/engine/choose/motion/motionScore.ts';
import { centreOn, clampWindow } from '../charts/view.ts';
import { patienceMs } from './judging.ts';
import { placeFromView } from './labelling.ts';
import type { TimeWindow } from './model.ts';
import { takeUnits } from './motionScores.ts';
import { DIP_WINDOW_US } from './opening.ts';
import { openTake } from './openTake.ts';
import { dispatch, sight } from './store.ts';
import { verdicts } from './verdicts.ts';

/** What the guard is judged by where no press is labelled. */
export type MotionUnit = 'spins' | 'stops';

/** Moves the view to the next spin that is open, or the next stop that is late, with the candidate under edit. */
export function showNextWrong(unit: MotionUnit): void {
  const windows = wrongWindows(unit);
  if (windows.length === 0) return;
  const middles = windows.map(({ startUs, endUs }) => (startUs + endUs) / 2);
  const place = placeFromView(middles, 1);
  const window = sight.window.peek();
  const isShown = window?.startUs === windows[place]!.startUs && window.endUs === windows[place]!.endUs;
  dispatch({ type: 'windowMoved', window: windows[isShown ? (place + 1) % windows.length : place]! });
}

/** A view of each, in time order: the whole of a spin with a little about it, and the time about a stop. */
function wrongWindows(unit: MotionUnit): TimeWindow[] {
  const [units, verdict, take] = [takeUnits.peek(), verdicts[sight.slot.peek()].value, openTake.peek()];
  if (!units || !verdict || !take) return [];
  const { signals, closed } = verdict;
  const windows =
    unit === 'stops'
      ? judgeStops(signals, closed, units.stopsUs, patienceMs.peek())
          .filter(({ isLate }) => isLate)
          .map(({ stopUs }) => centreOn(stopUs, DIP_WINDOW_US, take.durationUs))
      : units.spins
          .filter((spin) => judgeSpins(signals, closed, [spin])[0]?.isOpen)
          .map(({ startUs, endUs }) => {
            const aboutUs = ABOUT_SHARE * (endUs - startUs);
            return clampWindow({ startUs: startUs - aboutUs, endUs: endUs + aboutUs }, take.durationUs);
          });
  return windows.filter((window) => window !== null);
}

/** Of a spin's length, seen before and after it. */
const ABOUT_SHARE = 0.1;
