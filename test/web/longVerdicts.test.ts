import { expect, test } from 'vitest';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import { computeMotion } from '../../server/engine/motion/motion.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import type { TakeDocument } from '../../server/http/schemas.ts';
import { type OpenTake, takeStatus } from '../../web/state/openTake.ts';
import { dispatch } from '../../web/state/store.ts';
import { type Verdicts, verdicts } from '../../web/state/verdicts.ts';
import { LongMotion, shownOf } from '../../web/takes/longMotion.ts';
import { readyFor } from '../../web/takes/readyFor.ts';
import { drawnLog, thinLogOf } from './longWays.ts';

const calibration = { ...DEFAULT_CALIBRATION, bias: 'auto' as const, leverArmM: 0.3 };
const log = drawnLog(7, 3000);
const saturated = new Uint8Array(log.timeUs.length);
const { uniform } = buildTimeBase(log, saturated);
const motion = computeMotion(uniform, calibration);
const presses = Array.from({ length: 40 }, (_, k) => {
  return { button: 'power', downUs: 700_000 * k, upUs: 700_000 * k + 90_000 };
});
const document = {
  id: 'x',
  revision: 1,
  calibration,
  powerButton: 'power',
  presses,
  labels: EMPTY_LABELS,
} as unknown as TakeDocument;
const rest = { document, roll: null, gestures: [], durationUs: motion.timeUs.at(-1)! };

function judgedOn(take: OpenTake) {
  takeStatus.value = { kind: 'none' };
  takeStatus.value = { kind: 'open', take };
  const told = () => {
    const both = [verdicts.a.value!, verdicts.b.value!].map(({ signals, closed, ...said }: Verdicts) => {
      return { ...said, closed: closed.runs };
    });
    return JSON.stringify(both, (_key, value) => (ArrayBuffer.isView(value) ? Object.values(value) : value));
  };
  const first = told();
  dispatch({ type: 'settingChanged', slot: 'a', path: 'impact.impactG', value: 1.5, gesture: 'i' });
  dispatch({ type: 'settingChanged', slot: 'b', path: 'stab.thrustG', value: 0.6, gesture: 's' });
  dispatch({ type: 'settingChanged', slot: 'a', path: 'smoothing.cutoffHz', value: 12, gesture: 'c' });
  return [first, told()];
}

test('verdicts on a long take that came with its first ones are those of any other take', async () => {
  const load = () => {
    dispatch({ type: 'candidatesLoaded', a: DEFAULT_CANDIDATE, b: DEFAULT_CANDIDATE });
    dispatch({ type: 'takeOpened', takeId: 'x' });
    dispatch({ type: 'labelsLoaded', takeId: 'x', labels: EMPTY_LABELS });
  };
  load();
  const plain = judgedOn({ ...rest, motion, ready: () => null });
  load();
  const thin = await thinLogOf({ log, saturated, calibration });
  const ready = readyFor(motion, {
    candidate: DEFAULT_CANDIDATE,
    presses,
    labels: { spans: [], swings: [] },
  });
  const long = new LongMotion(shownOf(motion), thin, calibration, (make) => make);
  expect(judgedOn({ ...rest, motion: long, ready: () => ready })).toEqual(plain);
  expect(plain[0]).not.toBe(plain[1]);
});
