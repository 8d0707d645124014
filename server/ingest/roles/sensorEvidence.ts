import { STANDARD_GRAVITY_MPS2 } from '../../engine/base/units.ts';
import { type Evidence, evidence } from '../ground/ledger.ts';
import type { Trait } from '../ground/names.ts';
import { pick } from '../ground/pick.ts';
import { restLevel } from '../ground/rest.ts';
import { nominalStep } from '../ground/steps.ts';
import { factorTo, NOUNS, unitWords } from '../ground/units.ts';
import type { Triple } from '../layout/triples.ts';
import { guessAccelUnit } from '../units/accelGuess.ts';
import { GOOD_FIT, turnScale } from '../units/turnScale.ts';
import { lengthsOf, type VectorFacts } from './vectorFacts.ts';

/** A triple with what its values show. */
export interface Candidate {
  readonly triple: Triple;
  readonly facts: VectorFacts;
  /** Why it is what it is, where the user says so; null where that is weighed. */
  readonly stated: string | null;
}

/** What the words of a name weigh. Raw columns are judged by whether they are codes. */
const TRAIT_WEIGHTS: Readonly<Record<Exclude<Trait, 'raw'>, readonly [number, string]>> = {
  calibrated: [0.5, 'its name says calibrated'],
  estimated: [-3, 'its name says that it is an estimate'],
  noGravity: [-3, 'its name says that gravity was taken out'],
  otherFrame: [-6, 'its name says that it was turned into another frame'],
  uncalibrated: [-2, 'its name says that it is not calibrated'],
  secondary: [-4, 'its name says that it is not the sensor itself'],
};
/** A length within this share of its median does not feel a swing. */
const CONSTANT = 0.03;
/** A sensor this far from the point that it turns about, and a pull that its length would show. */
const SMALL_ARM_M = 0.05;
const PULL_SHOWS_G = 0.12;
const PULL_SURE_G = 0.15;
/** Correlation of the length with the square of the speed from which on it is a pull, and below which it is none. */
const PULL_CORRELATION = 0.35;
const NO_PULL_CORRELATION = 0.05;
/** At rest, rates stand below this share of their peak. */
const QUIET = 0.2;
const TURNED_DEG = 45;
const FEWEST_ROWS = 50;
const STATED_WEIGHT = 20;
const PULL_WEIGHT = 3;
const TURNING_AT_MOST = 3;

/** What name, unit and completeness say of a triple taken for its kind. */
export function namingEvidence({ triple, facts, stated }: Candidate): Evidence[] {
  if (stated !== null) return [evidence(STATED_WEIGHT, stated)];
  const { kind, statedUnit, codes, traits } = triple;
  const first = facts.columns[0]!;
  const isNamed = first.reading.kind === kind;
  const found: Evidence[] = [
    isNamed
      ? evidence(4, first.reading.why ?? `its name says ${NOUNS[kind]}`)
      : evidence(0, 'its name says nothing'),
  ];
  if (statedUnit !== null) found.push(evidence(1, `a unit is stated: ${unitWords(kind, statedUnit)}`));
  else if (codes) found.push(evidence(-1.5, 'said to be raw codes'));
  for (const trait of traits) {
    if (trait !== 'raw') found.push(evidence(...TRAIT_WEIGHTS[trait]));
    else if (statedUnit === null && facts.isWhole)
      found.push(evidence(-2, 'raw codes: whole numbers without a unit'));
    else if (statedUnit === null) found.push(evidence(-0.5, 'its name says raw, and no unit is stated'));
  }
  if (facts.columns.some(({ sample }) => sample.missingShare > 0.5))
    found.push(evidence(-8, 'most of its cells are empty'));
  const isStill = ({ sample }: (typeof facts.columns)[number]) =>
    sample.distinct.length < 2 && sample.values.length > 1;
  if (facts.columns.every(isStill)) found.push(evidence(-8, 'it never changes'));
  return found;
}

/** What the length of a force says: 1 g at rest, and a swing's pull. @param stepUs  of a row; NaN where that is not known */
export function forceEvidence({ triple, facts }: Candidate, stepUs: number): Evidence[] {
  const found = [restEvidence(triple, facts), constancyEvidence(facts, stepUs)];
  return found.filter((own) => own !== null);
}

function restEvidence({ statedUnit }: Triple, { rest, isWhole }: VectorFacts): Evidence | null {
  if (!(rest.norm >= 0)) return null;
  const shown = Number(rest.norm.toPrecision(3));
  const factor = statedUnit === null ? null : factorTo('accel', statedUnit);
  if (factor !== null) {
    const restG = rest.norm * factor;
    if (Math.abs(restG - 1) < 0.15) return evidence(2, `at rest it reads ${restG.toPrecision(3)} g`);
    if (restG > 0.6 && restG < 1.5) return evidence(0.5, `at rest it reads ${restG.toPrecision(3)} g`);
    return evidence(-1, `at rest it reads ${restG.toPrecision(2)} g, not 1`);
  }
  if (rest.spread > 0.15) return evidence(-1, 'it does not read the same in every rest');
  const { unit, warning } = guessAccelUnit(rest, isWhole);
  const is = unit === null || warning !== null ? null : unitWords('accel', unit);
  return is === null
    ? evidence(-1, `at rest its length is ${shown}, 1 g in no common unit`)
    : evidence(isWhole ? 0.7 : 1.5, `at rest its length is ${shown}, about 1 g in ${is}`);
}

/** @param stepUs  NaN where no clock tells how fast it turns: then a turn through half a right angle has to do */
function constancyEvidence(
  { spread, centredSpread, turnDegPerRow, turnedDeg }: VectorFacts,
  stepUs: number,
): Evidence | null {
  const { speedDps, pullG } = pullAt(turnDegPerRow, stepUs);
  if (Number.isNaN(stepUs) && spread < CONSTANT && turnedDeg > TURNED_DEG)
    return evidence(
      -4,
      `its length stays the same while its direction turns through ${Math.round(turnedDeg)}°`,
    );
  if (!(pullG > PULL_SHOWS_G)) return null;
  const swing = `while it turns at ${Math.round(speedDps)} °/s, where a force shows the swing’s pull`;
  const within = (share: number) => `within ${Math.max(0.1, 100 * share).toPrecision(2)} %`;
  if (spread < CONSTANT) return evidence(-7, `its length stays the same ${within(spread)} ${swing}`);
  return centredSpread < CONSTANT && pullG > PULL_SURE_G
    ? evidence(-5, `but for an offset its length stays the same ${within(centredSpread)} ${swing}`)
    : null;
}

/** How fast a direction turns at most, and what a sensor of force so near to the middle would feel of that. */
function pullAt(turnDegPerRow: number, stepUs: number): { speedDps: number; pullG: number } {
  const speedDps = (turnDegPerRow * 1e6) / stepUs;
  const pullG = ((speedDps * Math.PI) / 180) ** 2 * (SMALL_ARM_M / STANDARD_GRAVITY_MPS2);
  return { speedDps, pullG };
}

/** What the values of rates say by themselves. @param accel  tells when the prop rests: a spin at one speed is as steady */
export function rateEvidence({ facts }: Candidate, accel: VectorFacts | null): Evidence[] {
  const isAlong = accel !== null && accel.rows.length === facts.rows.length;
  const rest = isAlong ? restLevel(facts.vectors, accel.vectors) : facts.rest;
  const share = rest.norm / facts.peak;
  const percent = `${(100 * share).toPrecision(2)} % of its peak`;
  const found: Evidence[] = [];
  if (share < QUIET) found.push(evidence(1, `at rest it reads ${percent}`));
  else if (share > 0.5) found.push(evidence(-3, `at rest it still reads ${percent}`));
  if (facts.spread < CONSTANT && facts.turnedDeg > 20)
    found.push(evidence(-6, 'its length is the same throughout, as that of a field is'));
  return found;
}

/** How gravity turns, and how a swing pulls, with rates and force of the same rows. */
export interface Together {
  readonly evidence: readonly Evidence[];
  /** The turning agrees well. */
  readonly turns: boolean;
  /** The force grows with the square of the speed. */
  readonly pulls: boolean;
}

const NOTHING: Together = { evidence: [], turns: false, pulls: false };

/** What force and rates say of each other. @param timeUs  of every row of the head */
export function togetherEvidence(accel: VectorFacts, gyro: VectorFacts, timeUs: Float64Array): Together {
  const both = sharedRows(accel, gyro);
  if (both === null) return NOTHING;
  const time = pick(timeUs, both.rows);
  const accelRest = both.accel === accel.vectors ? accel.rest : restLevel(both.accel);
  const gyroRest = restLevel(both.gyro, both.accel);
  const turn = turnScale(time, both.accel, both.gyro, accelRest, gyroRest);
  const found: Evidence[] = [];
  const turns = turn !== null && turn.degPerUnit > 0 && turn.agreement >= GOOD_FIT;
  if (turn && turn.degPerUnit > 0) {
    const percent = `${Math.round(100 * turn.agreement)} %`;
    if (turns)
      found.push(
        evidence(
          Math.min(TURNING_AT_MOST, -Math.log(1 - turn.agreement)),
          `${percent} of its turning is as the rates say, as for gravity (and for any field)`,
        ),
      );
    else found.push(evidence(-0.5, `only ${percent} of its turning is as the rates say`));
  } else if (turn) found.push(evidence(-1.5, 'it turns against the rates'));
  const pull = pullOf(lengthsOf(both.accel), both.gyro, gyroRest.mean);
  const pulls = pull > PULL_CORRELATION;
  if (pulls)
    found.push(
      evidence(
        PULL_WEIGHT,
        `its length goes with the square of the speed (correlation ${pull.toFixed(2)}): a swing’s pull`,
      ),
    );
  else if (pull < NO_PULL_CORRELATION && pullAt(accel.turnDegPerRow, nominalStep(time)).pullG > PULL_SURE_G)
    found.push(evidence(-1.5, `its length does not go with the speed (correlation ${pull.toFixed(2)})`));
  return { evidence: found, turns, pulls };
}

function sharedRows(accel: VectorFacts, gyro: VectorFacts) {
  if (accel.rows.length === gyro.rows.length)
    return accel.rows.length < FEWEST_ROWS
      ? null
      : { rows: accel.rows, accel: accel.vectors, gyro: gyro.vectors };
  const places = new Map([...gyro.rows].map((row, i) => [row, i] as const));
  const own = [...accel.rows.keys()].filter((i) => places.has(accel.rows[i]!));
  if (own.length < FEWEST_ROWS) return null;
  const pick = ({ x, y, z }: VectorFacts['vectors'], at: (i: number) => number) => ({
    x: Float64Array.from(own, (i) => x[at(i)]!),
    y: Float64Array.from(own, (i) => y[at(i)]!),
    z: Float64Array.from(own, (i) => z[at(i)]!),
  });
  return {
    rows: Int32Array.from(own, (i) => accel.rows[i]!),
    accel: pick(accel.vectors, (i) => i),
    gyro: pick(gyro.vectors, (i) => places.get(accel.rows[i]!)!),
  };
}

/** Correlation of a length with the square of the speed. */
function pullOf(
  lengths: Float64Array,
  { x, y, z }: VectorFacts['vectors'],
  bias: readonly [number, number, number],
): number {
  const speeds = new Float64Array(x.length);
  for (let i = 0; i < x.length; ++i)
    speeds[i] = (x[i]! - bias[0]) ** 2 + (y[i]! - bias[1]) ** 2 + (z[i]! - bias[2]) ** 2;
  const mean = (values: Float64Array) => values.reduce((sum, own) => sum + own, 0) / values.length;
  const [a, b] = [mean(lengths), mean(speeds)];
  let [ab, aa, bb] = [0, 0, 0];
  for (let i = 0; i < lengths.length; ++i) {
    const [da, db] = [lengths[i]! - a, speeds[i]! - b];
    ab += da * db;
    aa += da * da;
    bb += db * db;
  }
  return ab / Math.sqrt(aa * bb);
}
