import {
  type Evidence,
  enter,
  evidence,
  LEAD_NEEDED,
  type LedgerEntry,
  leadOf,
  rank,
} from '../ground/ledger.ts';
import { ESTIMATED_GRAVITY } from '../ground/names.ts';
import { quietMeans, restLevel } from '../ground/rest.ts';
import { factorTo, readUnit } from '../ground/units.ts';
import { columnsOf, type NamedColumn, type Triple, vectorOf } from '../layout/triples.ts';

/** Whether columns of gravity make up the acceleration that they stand beside. */
export interface GravityChoice {
  /** x, y and z to be added; null where the acceleration is left as it is. */
  readonly columns: readonly NamedColumn[] | null;
  /** Unit of these columns, where it differs from that of the acceleration; null for the same. */
  readonly unit: string | null;
  readonly ledger: readonly LedgerEntry[];
  /** What the user has to settle; null for nothing. */
  readonly need: string | null;
}

const NONE: GravityChoice = { columns: null, unit: null, ledger: [], need: null };
/** Gravity's length is the same throughout. */
const STEADY = 0.1;
/** Units in which gravity is logged, by its length. */
const BY_LENGTH = ['g', 'm/s2', 'mg'] as const;
const LENGTH_WITHIN = 0.1;
/** How much of the acceleration at rest is gravity: nothing, or all of it. */
const NO_PART = 0.3;
const ALL_OF_IT = 0.7;
const FITS = 0.8;
const FITS_THROUGHOUT = 0.97;

/**
 * Weighs whether an acceleration holds gravity by itself or lacks what stands in columns of its own. Their units may
 * differ: what counts is how much of the one is found in the other at rest.
 * @param columns  those that are free to be gravity
 */
export function weighGravity(accel: Triple, columns: readonly NamedColumn[]): GravityChoice {
  const named = columns.filter(
    ({ file, reading, sample }) =>
      file === accel.file && reading.what === ESTIMATED_GRAVITY && sample.kind === 'number',
  );
  const found = [0, 1, 2].flatMap((axis) => named.find(({ reading }) => reading.axis === axis) ?? []);
  const own = columnsOf(accel, columns);
  if (found.length < 3 || own.length < 3) return NONE;
  const gravity = vectorOf(found);
  const rest = restLevel(gravity);
  if (!(rest.norm > 0) || rest.spread > STEADY) return NONE;
  const gravityUnit = unitOf(found[0]!) ?? byLength(rest.norm);
  const share = shareOf(own, found);
  const held = heldPart(share, accel.statedUnit, gravityUnit);
  const { isAsItIs, isAdded } = sides(held, share.fit, accel);
  const text = {
    as: 'the acceleration holds gravity by itself',
    added: 'gravity is added to the acceleration',
  };
  const ranked = rank([
    { value: true, reading: text.added, evidence: isAdded },
    { value: false, reading: text.as, evidence: isAsItIs },
  ]);
  const lead = leadOf(ranked)!;
  const question = 'Does the acceleration hold gravity, or do its own columns have to be added?';
  const names = found.map(({ name }) => name).join(', ');
  if (lead < LEAD_NEEDED)
    return {
      ...NONE,
      ledger: [enter(question, ranked, lead, 'asked')],
      need: `it is not clear whether the acceleration holds gravity or ${names} have to be added to it: set these columns to gravity x, y and z, or to ignored`,
    };
  const isOther = gravityUnit !== null && accel.statedUnit !== null && gravityUnit !== accel.statedUnit;
  const ledger = [enter(question, ranked, lead, 'taken')];
  return ranked[0]!.value
    ? { ...NONE, columns: found, unit: isOther ? gravityUnit : null, ledger }
    : { ...NONE, ledger };
}

/**
 * How much of gravity the acceleration at rest holds, both in one unit: 0 none, 1 all. Where the unit of the acceleration
 * is not stated it may be any: what is gravity through and through is so in each.
 */
function heldPart(
  { slope, fit }: { readonly slope: number; readonly fit: number },
  accelUnit: string | null,
  gravityUnit: string | null,
): number {
  const gravity = factorTo('accel', gravityUnit ?? '') ?? 1;
  if (accelUnit !== null) return (slope * (factorTo('accel', accelUnit) ?? 1)) / gravity;
  if (fit < FITS_THROUGHOUT) return slope;
  const parts = BY_LENGTH.map((unit) => (slope * factorTo('accel', unit)!) / gravity);
  return parts.find((part) => part > ALL_OF_IT && part < 1 / ALL_OF_IT) ?? slope;
}

/** @param held  how much of gravity the acceleration at rest holds, both in one unit: 0 none, 1 all */
function sides(held: number, fit: number, { traits }: Triple): { isAsItIs: Evidence[]; isAdded: Evidence[] } {
  const isAsItIs: Evidence[] = [];
  const isAdded: Evidence[] = [];
  const percent = `${Math.round(100 * held)} % of gravity stands in it at rest`;
  if (held > ALL_OF_IT && held < 1 / ALL_OF_IT && fit > FITS) isAsItIs.push(evidence(5, percent));
  else if (Math.abs(held) < NO_PART) isAdded.push(evidence(4, percent));
  if (traits.includes('noGravity')) isAdded.push(evidence(2, 'its name says that gravity was taken out'));
  return { isAsItIs, isAdded };
}

function unitOf({ reading, rowUnit }: NamedColumn): string | null {
  const unit = reading.unit?.unit ?? rowUnit;
  return unit !== null && readUnit(unit, 'accel') ? unit : null;
}

function byLength(norm: number): string | null {
  return BY_LENGTH.find((unit) => Math.abs(norm * factorTo('accel', unit)! - 1) < LENGTH_WITHIN) ?? null;
}

/** How many times gravity stands in the acceleration at rest, in their own units, and what part of it that explains. */
function shareOf(own: readonly NamedColumn[], found: readonly NamedColumn[]): { slope: number; fit: number } {
  const isThere = (_: number, row: number) =>
    [...own, ...found].every(({ sample }) => !Number.isNaN(sample.values[row]!));
  const pick = (columns: readonly NamedColumn[]) => {
    const [x, y, z] = columns.map(({ sample }) => sample.values.filter(isThere));
    return { x: x!, y: y!, z: z! };
  };
  const accel = pick(own);
  const forces = quietMeans(accel, accel);
  const gravities = quietMeans(pick(found), accel);
  let [ff, fg, gg] = [0, 0, 0];
  for (const [i, force] of forces.entries()) {
    for (let axis = 0; axis < 3; ++axis) {
      ff += force[axis]! ** 2;
      fg += force[axis]! * gravities[i]![axis]!;
      gg += gravities[i]![axis]! ** 2;
    }
  }
  return { slope: fg / gg, fit: (fg * fg) / (ff * gg) };
}
