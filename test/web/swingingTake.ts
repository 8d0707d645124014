import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { EMPTY_LABELS, type Labels } from '../../server/engine/labels/labels.ts';
import { computeMotion } from '../../server/engine/motion/motion.ts';
import type { TakeDocument } from '../../server/http/schemas.ts';
import { chooseItem, walkKind } from '../../web/state/labelWalk.ts';
import { notices } from '../../web/state/notices.ts';
import { type OpenTake, openLabels, takeStatus } from '../../web/state/openTake.ts';
import { dispatch, sight } from '../../web/state/store.ts';

const RATE_HZ = 100;

/** A rest of 2 s, then six swings to and fro of a second each; a press in two of them and one between. */
export function swingingTake(id: string): OpenTake {
  const length = 8 * RATE_HZ;
  const column = (of: (s: number) => number) => Float64Array.from({ length }, (_, i) => of(i / RATE_HZ));
  const motion = computeMotion(
    {
      rateHz: RATE_HZ,
      stepUs: 1e6 / RATE_HZ,
      timeUs: column((s) => Math.round(s * 1e6)),
      segments: [{ start: 0, end: length }],
      saturated: new Uint8Array(length),
      gyroXDps: column(() => 0),
      gyroYDps: column(() => 0),
      gyroZDps: column((s) => (s < 2 ? 0 : 400 * Math.sin(Math.PI * s))),
      accelXG: column(() => 0),
      accelYG: column(() => 0),
      accelZG: column(() => 1),
    },
    DEFAULT_CALIBRATION,
  );
  const presses = [2_500_000, 3_500_000, 4_020_000].map((downUs) => ({
    button: 'power',
    downUs,
    upUs: downUs + 80_000,
  }));
  const document = {
    id,
    revision: 1,
    sources: [],
    mapping: {},
    calibration: DEFAULT_CALIBRATION,
    powerButton: 'power',
    presses,
    labels: EMPTY_LABELS,
  } as unknown as TakeDocument;
  return { document, motion, ready: () => null, roll: null, gestures: [], durationUs: 8e6 };
}

/** Opens one: six swings are proposed of it from 2 s on, one spin about them, a rest from 0.49 s, each press a stray one. */
export function openSwingingTake(): OpenTake {
  const take = swingingTake('t');
  dispatch({ type: 'takeOpened', takeId: 't' });
  load(EMPTY_LABELS);
  takeStatus.value = { kind: 'open', take };
  chooseItem(null);
  walkKind.value = 'swing';
  notices.value = [];
  return take;
}

/** Labels as the server has them. */
export const load = (labels: Labels) => dispatch({ type: 'labelsLoaded', takeId: 't', labels });

export const look = (startS: number, endS: number) =>
  dispatch({ type: 'windowMoved', window: { startUs: startS * 1e6, endUs: endS * 1e6 } });

/** The view in seconds; null where it is all of the take. */
export function viewS(): [number, number] | null {
  const window = sight.window.value;
  return window && [window.startUs / 1e6, window.endUs / 1e6];
}

export const intents = () => openLabels.value.presses.map(({ intent, by }) => `${intent} by ${by}`);
