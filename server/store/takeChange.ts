import { buttonsOf } from '../engine/base/buttons.ts';
import { mountMatrix } from '../engine/base/mount.ts';
import type { CalibrationDocument, TakeChange, TakeDocument } from './documents.ts';
import { TakeChangeError } from './errors.ts';

/**
 * The take with a change made, one revision on.
 * @throws TakeChangeError  if the change does not fit the take.
 */
export function changeTake(document: TakeDocument, change: TakeChange): TakeDocument {
  checkButtons(document, change);
  checkLabels(change);
  if (change.calibration) checkCalibration(change.calibration);
  return { ...document, ...change, revision: document.revision + 1 };
}

/** @throws TakeChangeError  if the mount is none. */
export function checkCalibration({ mount }: Pick<CalibrationDocument, 'mount'>): void {
  try {
    mountMatrix(mount);
  } catch (error) {
    if (error instanceof RangeError) throw new TakeChangeError(`mount: ${error.message}`);
    throw error;
  }
}

function checkButtons(document: TakeDocument, change: TakeChange): void {
  const buttons = buttonsOf(document);
  for (const which of ['powerButton', 'deflectionButton'] as const) {
    const button = change[which] ?? null;
    if (button !== null && !buttons.includes(button))
      throw new TakeChangeError(
        `${which}: this take has no button ${button} (${buttons.join(', ') || 'it has none at all'}).`,
      );
  }
}

function checkLabels({ labels }: TakeChange): void {
  for (const kind of ['spans', 'swings', 'gestures'] as const) {
    const bad = labels?.[kind]?.findIndex((span) => !(span.startUs < span.endUs)) ?? -1;
    if (bad >= 0) throw new TakeChangeError(`labels.${kind}[${bad}]: its end must come after its start.`);
  }
}
