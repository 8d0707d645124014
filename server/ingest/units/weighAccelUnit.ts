import { type Evidence, evidence, leadOf, rank, type Weighed } from '../ground/ledger.ts';
import type { RestLevel } from '../ground/rest.ts';
import { factorTo, unitWords } from '../ground/units.ts';
import { codesPerG, endEvidence, statedRangeEvidence } from './rangeEvidence.ts';

/** What speaks for and against a unit of acceleration. */
interface AccelUnitFacts {
  /** Stated by name, row of units or a note, with where; null where nothing states it. */
  readonly stated: { readonly unit: string; readonly where: string } | null;
  /** What the rest alone was taken for, or null: it may be codes of no common part. */
  readonly guessed: string | null;
  readonly rest: RestLevel;
  readonly isWhole: boolean;
  /** Share of the turning that is as the rates say, as gravity's is; null where too little turns. */
  readonly turning: number | null;
  /** Size of the value at which axes are stuck, as it stands in the file; null where none is. */
  readonly end: number | null;
  /** Largest size on one axis, as it stands in the file. */
  readonly peak: number;
  /** Full scale that the file states, or null. */
  readonly rangeG: number | null;
}

/** A unit, and whether the acceleration in it holds gravity. */
export interface AccelReading {
  readonly unit: string;
  readonly holdsGravity: boolean;
}

const PHYSICAL = ['g', 'm/s2', 'mg'] as const;
/** Codes per g of parts in common use: powers of two for full scales of two's-complement words, and round ones. */
export const CODES_PER_G = [
  64, 128, 256, 512, 1024, 2048, 4096, 8192, 16_384, 32_768, 64_000, 65_536, 128_000, 131_072, 256_000,
  262_144,
] as const;
/** A sound sensor rests this near to 1 g (in logarithm, one standard deviation); some are biased or badly scaled. */
const SOUND_SIGMA = 0.07;
const BIASED_SIGMA = 0.35;
const BIASED_LESS = 2.5;
/** What is left of acceleration at rest, in g, once gravity was taken out. */
const NO_GRAVITY_SIGMA_G = 0.03;
const REST_AT_MOST = 3;
const REST_AT_LEAST = -6;
const TURNS_WELL = 0.65;
/** A length this near to 1, and this steady (as a share of itself), is gravity in g. */
const STEADY_ONE = 0.15;
const STEADY_SPREAD = 0.05;
/** Scales nearer to each other than this (in logarithm) are one: 1000 mg and 1024 codes. */
const ONE_SCALE = 0.05;

/** The units that are possible at all, with and without gravity, the likeliest first. */
export function weighAccelUnit(facts: AccelUnitFacts): Weighed<AccelReading>[] {
  const codes = facts.isWhole ? CODES_PER_G.map((codesPerG) => `lsb:${codesPerG}`) : [];
  const ofRange = facts.isWhole && facts.rangeG !== null ? [`lsb:${codesPerG(facts.rangeG)}`] : [];
  const stated = facts.stated ? [facts.stated.unit] : [];
  const guessed = facts.guessed === null ? [] : [facts.guessed];
  const units = new Set<string>([...PHYSICAL, ...codes, ...ofRange, ...guessed, ...stated]);
  const readings = [...units].flatMap((unit) => {
    const isPhysical = !unit.startsWith('lsb:');
    return isPhysical
      ? [
          { unit, holdsGravity: true },
          { unit, holdsGravity: false },
        ]
      : [{ unit, holdsGravity: true }];
  });
  return rank(
    readings.map((value) => ({
      value,
      reading: `${unitWords('accel', value.unit)}${value.holdsGravity ? '' : ', without gravity'}`,
      evidence: [
        ...statedEvidence(value, facts),
        restEvidence(value, facts),
        ...steadyEvidence(value, facts),
        ...otherEvidence(value, facts),
        ...endEvidence('accel', value.unit, facts.end),
        ...statedRangeEvidence(value.unit, facts.rangeG, facts.peak),
      ],
    })),
  );
}

/** How far the likeliest reading is ahead of the next one that means other figures. */
export function leadOfReadings(ranked: readonly Weighed<AccelReading>[]): number | null {
  return leadOf(ranked, (a, b) => isOneScale(a.unit, b.unit));
}

/** True where two units of acceleration mean the same figures. */
export function isOneScale(a: string, b: string): boolean {
  return Math.abs(Math.log(factorTo('accel', a)! / factorTo('accel', b)!)) < ONE_SCALE;
}

function statedEvidence({ unit }: AccelReading, { stated }: AccelUnitFacts): Evidence[] {
  return stated?.unit === unit ? [evidence(6, `${stated.where} says so`)] : [];
}

function restEvidence({ unit, holdsGravity }: AccelReading, { rest }: AccelUnitFacts): Evidence {
  if (!Number.isFinite(rest.norm)) return evidence(0, 'too short to rest');
  const restG = rest.norm * factorTo('accel', unit)!;
  const said = `at rest it would read ${restG.toPrecision(3)} g`;
  if (!holdsGravity) {
    const weight = REST_AT_MOST - 1 - 0.5 * (restG / NO_GRAVITY_SIGMA_G) ** 2;
    return evidence(Math.max(REST_AT_LEAST, weight), said);
  }
  const off = Math.log(restG);
  const sound = REST_AT_MOST - 0.5 * (off / SOUND_SIGMA) ** 2;
  const biased = REST_AT_MOST - BIASED_LESS - 0.5 * (off / BIASED_SIGMA) ** 2;
  return evidence(Math.max(REST_AT_LEAST, sound, biased), said);
}

function isCommon(codesPerG: number): boolean {
  return CODES_PER_G.some((usual) => Math.abs(Math.log(codesPerG / usual)) < ONE_SCALE);
}

/** What is left without gravity is noise around 0, which stays at no length; a bias may. */
function steadyEvidence({ holdsGravity }: AccelReading, { rest }: AccelUnitFacts): Evidence[] {
  if (holdsGravity || !(rest.spread < STEADY_SPREAD)) return [];
  const said = `at rest its length stays at ${rest.norm.toPrecision(3)}, as gravity’s does`;
  return [evidence(Math.abs(rest.norm - 1) < STEADY_ONE ? -6 : -1.5, said)];
}

function otherEvidence(
  { unit, holdsGravity }: AccelReading,
  { isWhole, turning }: AccelUnitFacts,
): Evidence[] {
  const found: Evidence[] = [];
  if (turning !== null && turning >= TURNS_WELL) {
    const said = `${Math.round(100 * turning)} % of its turning is as the rates say, as gravity’s is`;
    found.push(evidence(holdsGravity ? 2 : -2, said));
  }
  if (isWhole)
    found.push(evidence(unit.startsWith('lsb:') ? 2 : unit === 'mg' ? 1 : -3, 'all are whole numbers'));
  const codes = unit.startsWith('lsb:') ? Number(unit.slice(4)) : null;
  if (codes !== null && !isCommon(codes)) found.push(evidence(-2.5, 'no common part has this scale'));
  if (!holdsGravity && unit === 'mg') found.push(evidence(-4, 'hardly any log without gravity is in mg'));
  else if (!holdsGravity && unit !== 'm/s2')
    found.push(evidence(-1, 'logs without gravity are in m/s² as a rule'));
  if (unit === 'mg' && !isWhole) found.push(evidence(-0.5, 'mg are less common'));
  return found;
}
