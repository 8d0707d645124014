import type { UniformLog } from '../engine/base/log.ts';
import type { Mount } from '../engine/base/mount.ts';
import { buildTimeBase } from '../engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../engine/calibrate/calibration.ts';
import { checkSignals, type SignalCheck } from '../engine/check/checkSignals.ts';
import type { CheckInput } from '../engine/check/input.ts';
import { computeMotion, type Motion } from '../engine/motion/motion.ts';
import { type WordedCheck, wordedCheck } from '../engine/words/check/check.ts';
import type { Mapping, ReadTake } from '../ingest/ground/types.ts';

const ADVICE_INDENT = ' '.repeat(11);

/**
 * Checks whether a take is fit to tune on. Nobody has calibrated it yet.
 * @param mount  as the user states it; null where the swings alone say how the sensor sits
 */
export function checkTake(take: ReadTake, mapping: Mapping, mount: Mount | null): SignalCheck {
  const { uniform } = buildTimeBase(take.log, take.saturated);
  const motion = computeMotion(uniform, { ...DEFAULT_CALIBRATION, mount: mount ?? mapping.mount });
  return checkRead(take, uniform, motion, { calibration: null, mount });
}

/** Checks a take that has been read. @param stated  what the user says of the prop; null where nothing */
export function checkRead(
  { log, saturated, report }: ReadTake,
  uniform: UniformLog,
  motion: Motion,
  stated: Pick<CheckInput, 'calibration' | 'mount'>,
): SignalCheck {
  return checkSignals({ raw: log, saturated, uniform, motion, ...stated, facts: report });
}

/** The check for people to read: the verdict, then a line a question. */
export function describeCheck({ headline, lines }: Pick<WordedCheck, 'headline' | 'lines'>): string {
  const shown = lines.map(({ state, name, finding, advice }) => {
    const text = `    ${state.padEnd(7)} ${name}: ${finding}\n`;
    return advice === '' ? text : `${text}${ADVICE_INDENT} ${advice}\n`;
  });
  return `  check: ${headline}\n${shown.join('')}`;
}

/** The check as JSON has it: verdict, lines, what the take shows of its sensor; without what only the plots show. */
export function checkDocument(check: SignalCheck): unknown {
  const { verdict, data } = check;
  return { verdict, ...wordedCheck(check), calibration: data.found, gravity: data.gravity };
}
