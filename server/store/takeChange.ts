import { mountMatrix } from '../engine/base/mount.ts';
import type { CalibrationDocument, TakeChange, TakeDocument } from './documents.ts';
import { TakeChangeError } from './errors.ts';

/**
 * The take with a change made, one revision on.
 * @throws TakeChangeError  if the change does not fit the take.
 */
export function changeTake(document: TakeDocument, change: TakeChange): TakeDocument {
  checkPowerButton(document, change);
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

function checkPowerButton(document: TakeDocument, { powerButton }: TakeChange): void {
  if (powerButton === undefined || powerButton === null) return;
  const buttons = document.report.presses.map((entry) => entry.button);
  if (!buttons.includes(powerButton)) {
    throw new TakeChangeError(
      `powerButton: this take has no button ${powerButton} (${buttons.join(', ') || 'it has none at all'}).`,
    );
  }
}

function checkLabels({ labels }: TakeChange): void {
  for (const kind of ['spans', 'swings', 'gestures'] as const) {
    const bad = labels?.[kind]?.findIndex((span) => !(span.startUs < span.endUs)) ?? -1;
    if (bad >= 0) throw new TakeChangeError(`labels.${kind}[${bad}]: its end must come after its start.`);
  }
}
