import type { GestureMapKind } from '../../choose/gestures/maps.ts';
import type { MissCause } from '../../choose/gestures/missCauses.ts';
import { roundedBeside } from '../count.ts';

/** Why a gesture is missed, as a clause. */
export function missCauseText(kind: GestureMapKind, cause: MissCause): string {
  switch (cause.kind) {
    case 'noData':
      return 'there is no motion data';
    case 'several':
      return 'more than one setting keeps it from firing';
    case 'setting':
      return SETTINGS[cause.path]!(cause.value);
    case 'short': {
      const { reached, asked, isNet } = cause;
      const unit = kind === 'twist' ? '°' : ' g';
      const shown = roundedBeside(reached, asked, kind === 'twist' ? 0 : 1);
      return `it reaches ${shown}${unit} of the ${asked}${unit} asked${isNet ? ', the rise with speed taken off' : ''}`;
    }
  }
}

/** What a setting is that alone keeps a gesture from firing. */
const SETTINGS: Readonly<Record<string, (value: number) => string>> = {
  'stab.quietBeforeMs': (ms) => `the blade is not quiet for ${ms} ms before it`,
  'stab.sustainMs': (ms) => `its push lasts less than ${ms} ms`,
  'stab.quietDps': (dps) => `the blade is faster than ${dps} °/s`,
  'stab.untilHitDps': (dps) => `the blade is faster than ${dps} °/s before the hit`,
  'stab.hitRatio': () => 'its hit is too weak',
  'stab.windowMs': (ms) => `its hit comes later than ${ms} ms after the push`,
  'impact.restMs': (ms) => `another impact comes less than ${ms} ms before`,
  'twist.windowMs': (ms) => `it takes longer than ${ms} ms`,
  'twist.quietDps': (dps) => `the blade is faster than ${dps} °/s`,
};
