import type { StillStretch } from './stillStretch.ts';

/** Two rests differ by this much at most, however near, */
const NEAR_DPS = 0.3;
/** and by this much more for every minute between them: a sensor that warms up drifts by less. */
const DRIFT_DPS_PER_MIN = 1;

/**
 * The rests whose bias agrees with that of longer ones: from the longest on, each is compared with the nearest accepted
 * rest before it and behind it. This finds slow steady turns, and a prop held in the hand.
 */
export function plausibleRests(rests: readonly StillStretch[]): StillStretch[] {
  const standing: StillStretch[] = [];
  for (const rest of [...rests].sort((a, b) => b.samples - a.samples)) {
    const before = standing
      .filter((one) => one.startUs < rest.startUs)
      .sort(byStart)
      .at(-1);
    const behind = standing.filter((one) => one.startUs > rest.startUs).sort(byStart)[0];
    const nearest = [before, behind].filter((one) => one !== undefined);
    if (nearest.length === 0 || nearest.some((one) => isPlausible(rest, one))) standing.push(rest);
  }
  return standing.sort(byStart);
}

function isPlausible(rest: StillStretch, other: StillStretch): boolean {
  const minutes = Math.abs(middleUs(rest) - middleUs(other)) / 60e6;
  const limit = NEAR_DPS + DRIFT_DPS_PER_MIN * minutes;
  return apartDps(rest, other) <= limit;
}

/** Distance between the biases at two rests. */
export function apartDps(a: StillStretch, b: StillStretch): number {
  return Math.hypot(a.gyroXDps - b.gyroXDps, a.gyroYDps - b.gyroYDps, a.gyroZDps - b.gyroZDps);
}

export function middleUs({ startUs, endUs }: StillStretch): number {
  return (startUs + endUs) / 2;
}

function byStart(a: StillStretch, b: StillStretch): number {
  return a.startUs - b.startUs;
}
