import { DEFAULT_CALIBRATION } from '../engine/calibration.ts';
import { checkSignals, type SignalCheck } from '../engine/check/checkSignals.ts';
import { computeMotion } from '../engine/motion/motion.ts';
import type { Mount } from '../engine/mount.ts';
import { buildTimeBase } from '../engine/timeBase.ts';
import { readTake } from '../ingest/readTake.ts';
import type { LogSource, Mapping } from '../ingest/types.ts';

const ADVICE_INDENT = ' '.repeat(11);

/**
 * Reads a take as previewed and checks whether it is fit to tune on. Nobody has calibrated it yet.
 * @param mount  as the user states it; null where the swings alone say how the sensor sits
 */
export async function checkFiles(
  sources: readonly LogSource[],
  mapping: Mapping,
  mount: Mount | null,
): Promise<SignalCheck> {
  const { log, saturated, report } = await readTake(sources, mapping, {});
  const { uniform } = buildTimeBase(log, saturated);
  const motion = computeMotion(uniform, { ...DEFAULT_CALIBRATION, mount: mount ?? mapping.mount });
  return checkSignals({ raw: log, saturated, uniform, motion, calibration: null, mount, facts: report });
}

/** The check for people to read: the verdict, then a line a question. */
export function describeCheck({ headline, lines }: SignalCheck): string {
  const shown = lines.map(({ state, name, finding, advice }) => {
    const text = `    ${state.padEnd(7)} ${name}: ${finding}`;
    return advice === '' ? text : `${text}\n${ADVICE_INDENT} ${advice}`;
  });
  return `  check: ${headline}\n${shown.join('\n')}\n`;
}

/** The check as JSON has it: verdict, lines, what the take shows of its sensor; without what only the plots show. */
export function checkDocument({ verdict, headline, distrust, lines, data }: SignalCheck): unknown {
  return { verdict, headline, distrust, lines, calibration: data.found, gravity: data.gravity };
}
