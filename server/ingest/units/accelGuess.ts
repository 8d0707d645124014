import type { RestLevel } from '../ground/rest.ts';
import { factorTo, unitWords } from '../ground/units.ts';
import { CODES_PER_G } from './weighAccelUnit.ts';

/** A unit with the reason for it. `warning` is what the user should hear about it. */
export interface UnitGuess {
  readonly unit: string | null;
  readonly reason: string;
  readonly warning: string | null;
}

const PHYSICAL = ['g', 'm/s2', 'mg'] as const;
/** What acceleration without gravity, in m/s², may read at rest. */
const NO_GRAVITY_AT_MOST = 0.4;

/** True where the force at rest, in g, is far too small for gravity: something took gravity out before. */
export function lacksGravity(restG: number): boolean {
  return restG < 0.4;
}

export const NO_GRAVITY_WARNING =
  'the acceleration holds no gravity (at rest it reads about 0, not 1 g): orientation, thrusts and stabs cannot be ' +
  'had from this log; swing speed, the guard and deflections can';

/** The accelerometer's unit from what it reads at rest, where |f| must be 1 g. */
export function guessAccelUnit(rest: RestLevel, isWhole: boolean): UnitGuess {
  const { norm } = rest;
  const shown = Number(norm.toPrecision(4));
  for (const unit of PHYSICAL) {
    const restG = norm * factorTo('accel', unit)!;
    const isNearer = unit !== 'mg' || !isWhole || Math.abs(restG - 1) < 0.012;
    if (Math.abs(restG - 1) < 0.15 && isNearer) {
      return {
        unit,
        reason: `at rest the magnitude is ${shown}, which is 1 g in ${words(unit)}`,
        warning: null,
      };
    }
  }
  const biased = isWhole ? undefined : PHYSICAL.find((unit) => isBiased(norm * factorTo('accel', unit)!));
  if (biased) {
    const restG = (norm * factorTo('accel', biased)!).toPrecision(3);
    return {
      unit: biased,
      reason: `at rest the magnitude is ${shown}, nearest to 1 g in ${words(biased)}`,
      warning: `acceleration is taken as ${words(biased)}, though at rest it reads ${restG} g instead of 1: its scale or bias is off, or its unit is another`,
    };
  }
  if (isWhole || norm > 60) return guessCodes(norm, shown);
  if (norm < 3 && norm > NO_GRAVITY_AT_MOST) {
    return {
      unit: null,
      reason: `at rest the magnitude is ${shown}: too little for gravity in g, too much for none in m/s²`,
      warning: null,
    };
  }
  if (norm < 3) {
    return {
      unit: 'm/s2',
      reason: `at rest the magnitude is ${shown}: no gravity; m/s² is the custom of logs without it`,
      warning: 'the unit of acceleration is a guess (m/s²): without gravity nothing in the log tells it',
    };
  }
  return {
    unit: null,
    reason: `at rest the magnitude is ${shown}, which is 1 g in no common unit`,
    warning: null,
  };
}

/** A biased or badly scaled sensor may rest as far from 1 g. */
function isBiased(restG: number): boolean {
  return restG > 0.6 && restG < 1.5;
}

function guessCodes(norm: number, shown: number): UnitGuess {
  const nearest = CODES_PER_G.reduce((a, b) =>
    Math.abs(Math.log(b / norm)) < Math.abs(Math.log(a / norm)) ? b : a,
  );
  const off = norm / nearest - 1;
  if (norm < 50)
    return { unit: null, reason: `at rest the codes' magnitude is ${shown}: no gravity`, warning: null };
  if (Math.abs(off) > 0.2) {
    return {
      unit: `lsb:${shown}`,
      reason: `raw codes; at rest the magnitude is ${shown}, taken as 1 g`,
      warning: `no common part reads ${shown} at 1 g: the scale of acceleration comes from the rest itself`,
    };
  }
  const reason = `raw codes; at rest the magnitude is ${shown}, near ${nearest} codes per g`;
  return { unit: `lsb:${nearest}`, reason, warning: null };
}

/**
 * Checks a stated unit against the rest. Where the rest contradicts it plainly (more than twofold, and another
 * unit fits), the other unit is taken and the warning says so.
 */
export function checkAccelUnit(stated: string, rest: RestLevel, isWhole: boolean, where: string): UnitGuess {
  const restG = rest.norm * factorTo('accel', stated)!;
  // A steady 1.0 is gravity in g, whatever the header says; without gravity the rest is noise around 0.
  const isOneG = Math.abs(rest.norm - 1) < 0.15;
  const isWithoutGravity = lacksGravity(restG) && rest.norm < 3 && !isOneG;
  const guess = isWithoutGravity ? null : betterUnit(stated, rest, isWhole);
  if (guess === null) return { unit: stated, reason: `${where} says ${words(stated)}`, warning: null };
  return {
    unit: guess.unit,
    reason: `${guess.reason}; ${where} says ${words(stated)}, which would be ${restG.toPrecision(3)} g at rest`,
    warning: `${where} says that acceleration is in ${words(stated)}, but at rest it would read ${restG.toPrecision(3)} g: taken as ${words(guess.unit!)}`,
  };
}

/** What the rest says against a unit that the user stated: it stands, with this caution. null for nothing. */
export function contradictsRest(stated: string, rest: RestLevel, isWhole: boolean): string | null {
  const guess = betterUnit(stated, rest, isWhole);
  if (guess === null || guess.warning !== null) return null;
  const restG = rest.norm * factorTo('accel', stated)!;
  return `acceleration is read in ${words(stated)} as set by you, but then it is ${restG.toPrecision(3)} g at rest; in ${words(guess.unit!)} it would be about 1 g: check the unit`;
}

/** The unit that fits the rest where the stated one is off by more than twofold; null where it may well be right. */
function betterUnit(stated: string, rest: RestLevel, isWhole: boolean): UnitGuess | null {
  const restG = rest.norm * factorTo('accel', stated)!;
  if (!(restG < 0.5 || restG > 2) || !(rest.spread < 0.05)) return null;
  const guess = guessAccelUnit(rest, isWhole);
  return guess.unit === null ? null : guess;
}

function words(unit: string): string {
  return unitWords('accel', unit);
}
