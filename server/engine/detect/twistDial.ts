import type { Signals } from '../motion/signals.ts';
import type { TwistSettings } from './twistTrigger.ts';

/**
 * Twist as a dial: emits whole steps as the angle turns.
 *
 * From position k it goes up while angle >= (k + 1) * degPerStep and down while angle <= (k - 1) * degPerStep: a whole
 * step of hysteresis, so an angle that trembles about a border emits nothing.
 *
 * - NaN or infinity emits nothing and leaves the position.
 * - After `reset` (start, gap, a new start of the angle): position 0, nothing emitted for the way back.
 */
export class TwistDial {
  private readonly degPerStep: number;
  private position = 0;

  /** @throws RangeError  on a setting out of bounds. */
  constructor(settings: TwistSettings, rateHz: number) {
    if (!(settings.degPerStep > 0)) {
      throw new RangeError(`twist.degPerStep must be above 0, got ${settings.degPerStep}`);
    }
    if (!(rateHz > 0)) throw new RangeError(`rateHz must be above 0, got ${rateHz}`);
    this.degPerStep = settings.degPerStep;
  }

  /** The number of steps emitted at this sample; negative downward, 0 for most samples. */
  step(twistDeg: number): number {
    if (!Number.isFinite(twistDeg)) return 0;
    const { position, degPerStep } = this;
    if (twistDeg >= (position + 1) * degPerStep) this.position = wholeSteps(twistDeg, degPerStep);
    else if (twistDeg <= (position - 1) * degPerStep) this.position = -wholeSteps(-twistDeg, degPerStep);
    return this.position - position;
  }

  reset(): void {
    this.position = 0;
  }
}

/** A sample at which the dial moved, and by how many steps. */
export interface DialSteps {
  readonly index: number;
  readonly steps: number;
}

/** Where the dial moved. A start of the angle puts it at 0 again, without a step. */
export function runTwistDial(signals: Signals, settings: TwistSettings): DialSteps[] {
  const dial = new TwistDial(settings, signals.rateHz);
  const { twistDeg, twistStarts } = signals;
  const moves: DialSteps[] = [];
  for (const { start, end } of signals.segments) {
    dial.reset();
    for (let i = start; i < end; ++i) {
      if (twistStarts[i] === 1) dial.reset();
      const steps = dial.step(twistDeg[i]!);
      if (steps !== 0) moves.push({ index: i, steps });
    }
  }
  return moves;
}

/** The largest k with k * degPerStep <= angleDeg; the quotient may be rounded to the wrong side of a border. */
function wholeSteps(angleDeg: number, degPerStep: number): number {
  const k = Math.floor(angleDeg / degPerStep);
  if (k * degPerStep > angleDeg) return k - 1;
  return (k + 1) * degPerStep <= angleDeg ? k + 1 : k;
}
