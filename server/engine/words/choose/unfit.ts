import type { Unfit } from '../../choose/unfit.ts';
import { lineName } from '../check/check.ts';
import { NO_DEFLECTION_BUTTON } from '../deflectionButton.ts';

/** What speaks against a take, as in "Title: ...", without a full stop. */
export function unfitText(unfit: Unfit): string {
  switch (unfit.kind) {
    case 'check':
      return `the signal check fails it on ${unfit.failed.map((id) => lineName(id).toLowerCase()).join(', ')}`;
    case 'unchecked':
      return `its signals could not be checked (${unfit.message})`;
    case 'noMotion':
      return 'it holds no motion';
    case 'slow':
      return `at ${rate(unfit.rateHz)} a ${unfit.what} is over between two samples; record at 100 Hz or more`;
    case 'missing':
      return `most of its ${unfit.what === 'rates' ? 'rotation rates' : 'accelerations'} are missing`;
    case 'noSwing':
      return `it holds no swing (its blade never goes faster than ${unfit.fastestDps.toFixed(0)} °/s); check the gyroscope’s unit, or record a spin`;
    case 'noButton':
      return NO_DEFLECTION_BUTTON;
    case 'noHits':
      return `at ${rate(unfit.rateHz)} it holds nothing above ${unfit.highPassHz} Hz to hear a hit by; record at 200 Hz or more`;
  }
}

function rate(rateHz: number): string {
  return `${Number(rateHz.toFixed(1))} Hz`;
}
