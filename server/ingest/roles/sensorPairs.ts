import { type Evidence, evidence, rank, type Weighed } from '../ground/ledger.ts';
import { nominalStep } from '../ground/steps.ts';
import type { RoleOverride } from '../ground/types.ts';
import { NOUNS, readUnit } from '../ground/units.ts';
import type { FileHead } from '../layout/fileHead.ts';
import { columnsOf, findTriples, type NamedColumn, type Triple } from '../layout/triples.ts';
import { QUATERNION_BY_VALUES } from '../layout/valueNames.ts';
import {
  evenTime,
  readTime,
  restsAsGravity,
  strangersByThrees,
  strangerTriple,
  vanishesAtRest,
} from './nameless.ts';
import { sameValues } from './sameValues.ts';
import {
  type Candidate,
  forceEvidence,
  namingEvidence,
  rateEvidence,
  togetherEvidence,
} from './sensorEvidence.ts';
import { factsOf } from './vectorFacts.ts';

/** Who may be what, and every pair of them that is possible, the best first. */
export interface Found {
  readonly accel: readonly Candidate[];
  readonly gyro: readonly Candidate[];
  readonly pairs: readonly Weighed<Pair>[];
}

/** The three columns that the user states to be a sensor's; null where none are. */
export interface StatedSensors {
  readonly accel: Candidate | null;
  readonly gyro: Candidate | null;
}

export interface Pair {
  readonly accel: Candidate;
  readonly gyro: Candidate;
}

/** No sensor's rest is this near to 0, as a part of its peak. */
const EXACT_ZERO = 1e-5;
/** More would take too long. */
const TRIED_AT_MOST = 10;
/**
 * Weighs every pair of triples that can be acceleration and rates. Names make triples; where they tell one of the two
 * only, or neither, every three columns without a telling name are tried.
 * @param free  columns that nobody has stated to be something else
 */
export function findPairs(
  heads: readonly FileHead[],
  free: readonly NamedColumn[],
  stated: StatedSensors,
): Found {
  const told = (kind: 'accel' | 'gyro') =>
    stated[kind] ? [stated[kind]] : candidates(findTriples(free, kind), free);
  const named = { accel: told('accel'), gyro: told('gyro') };
  const timeUs = new Map(heads.map(({ columns }) => [columns[0]?.file ?? 0, readTime(columns)] as const));
  const weighAll = (accel: readonly Candidate[], gyro: readonly Candidate[]) =>
    accel.flatMap((a) => gyro.flatMap((g) => weighPair(a, g, timeUs) ?? []));
  const isWhole = named.accel.length > 0 && named.gyro.length > 0;
  let found: Found = { ...named, pairs: isWhole ? rank(weighAll(named.accel, named.gyro)) : [] };
  for (const withStill of isWhole ? [] : [false, true]) {
    const more = withStrangers(named, heads, free, withStill);
    const pairs = rank(weighAll(more.accel, more.gyro));
    if (found.pairs.length === 0) found = { ...more, pairs };
    if (pairs.length > 0) break;
  }
  return found;
}

function candidates(triples: readonly Triple[], columns: readonly NamedColumn[]): Candidate[] {
  const done = ({ traits }: Triple) => traits.filter((trait) => trait !== 'calibrated').length;
  const plainest = [...triples].sort((a, b) => done(a) - done(b)).slice(0, TRIED_AT_MOST);
  return plainest.map((triple) => ({ triple, facts: factsOf(columnsOf(triple, columns)), stated: null }));
}

/** Triples that no name makes, for what no name tells: in a file by itself, or among files that name nothing. */
function withStrangers(
  named: { readonly accel: readonly Candidate[]; readonly gyro: readonly Candidate[] },
  heads: readonly FileHead[],
  free: readonly NamedColumn[],
  withStill: boolean,
): { accel: readonly Candidate[]; gyro: readonly Candidate[] } {
  const isNameless = ({ columns }: FileHead) =>
    !columns.some(({ reading }) => reading.kind === 'gyro' || reading.kind === 'accel');
  const strangers = heads.flatMap((head) => {
    if (heads.length > 1 && !isNameless(head)) return [];
    const own = free.filter((column) => head.columns.includes(column));
    // In a file that names motion, other names are about something else; without any, they may be numbered.
    const isOpen = ({ reading }: NamedColumn) =>
      reading.kind === 'unknown' || (isNameless(head) && reading.what !== QUATERNION_BY_VALUES);
    const unknown = own.filter(isOpen);
    return strangersByThrees(unknown, withStill);
  });
  const as = (kind: 'accel' | 'gyro') =>
    strangers
      .filter((columns) => unitKinds(columns).every((own) => own === kind))
      .map((columns) => ({ triple: strangerTriple(kind, columns), facts: factsOf(columns), stated: null }));
  const steady = () => as('accel').sort((a, b) => a.facts.rest.spread - b.facts.rest.spread);
  const quiet = () => as('gyro').sort((a, b) => restShare(a) - restShare(b));
  return {
    accel: named.accel.length > 0 ? named.accel : steady().slice(0, TRIED_AT_MOST),
    gyro: named.gyro.length > 0 ? named.gyro : quiet().slice(0, TRIED_AT_MOST),
  };
}

function restShare({ facts }: Candidate): number {
  return facts.rest.norm / facts.peak;
}

/** What the units of columns measure, where any are stated. */
function unitKinds(columns: readonly NamedColumn[]): string[] {
  return columns.flatMap(({ reading, rowUnit }) => {
    const quantity = reading.unit?.quantity ?? (rowUnit === null ? null : readUnit(rowUnit)?.quantity);
    return quantity ? [quantity] : [];
  });
}

/** null where the two cannot be the pair: a shared column, or nothing that tells either of them. */
function weighPair(
  accel: Candidate,
  gyro: Candidate,
  times: ReadonlyMap<number, Float64Array | null>,
): Weighed<Pair> | null {
  if (accel.facts.columns.some((column) => gyro.facts.columns.includes(column))) return null;
  const [isForceNamed, isRateNamed] = [isNamed(accel), isNamed(gyro)];
  const isOneFile = accel.triple.file === gyro.triple.file;
  const time = times.get(accel.triple.file) ?? null;
  const rows = accel.facts.columns[0]!.sample.values.length;
  const together = isOneFile ? togetherEvidence(accel.facts, gyro.facts, time ?? evenTime(rows)) : null;
  const isTold = isForceNamed && isRateNamed;
  const isForce = restsAsGravity(accel.facts) || together?.pulls === true;
  const isLikely =
    !isForceNamed &&
    !isRateNamed &&
    isForce &&
    vanishesAtRest(gyro.facts, accel.facts) &&
    // A gyroscope has noise and a bias; angles that are counted from the start are exactly 0 there.
    gyro.facts.rest.norm > EXACT_ZERO * gyro.facts.peak;
  if (!isTold && !together?.turns && !isLikely) return null;
  const stepUs = time === null ? Number.NaN : nominalStep(time);
  return {
    value: { accel, gyro },
    reading: `acceleration: ${names(accel)}; rates: ${names(gyro)}`,
    evidence: [
      ...about(NOUNS.accel, [
        ...namingEvidence(accel),
        ...unitEvidence(accel),
        ...forceEvidence(accel, stepUs),
      ]),
      ...about(NOUNS.gyro, [
        ...namingEvidence(gyro),
        ...unitEvidence(gyro),
        ...rateEvidence(gyro, accel.facts),
      ]),
      ...(together?.evidence ?? []),
      ...companyEvidence(accel.triple, gyro.triple),
    ],
  };
}

function about(noun: string, items: readonly Evidence[]): Evidence[] {
  return items.map(({ weight, text }) => ({ weight, text: `${noun}: ${text}` }));
}

export function isNamed({ triple, facts, stated }: Candidate): boolean {
  return stated !== null || facts.columns.every(({ reading }) => reading.kind === triple.kind);
}

function unitEvidence(candidate: Candidate): Evidence[] {
  return !isNamed(candidate) && unitKinds(candidate.facts.columns).length === 3
    ? [evidence(3, `its unit is one of ${NOUNS[candidate.triple.kind]}`)]
    : [];
}

/** Columns of one device and of one make belong together. Raw goes with raw: estimates may stand in another frame, or lag. */
function companyEvidence(a: Triple, b: Triple): Evidence[] {
  const found: Evidence[] = [];
  if (shareWord(a.group, b.group)) found.push(evidence(0.3, 'the names of both share a word'));
  if (a.traits.join() === b.traits.join()) found.push(evidence(0.8, 'both are of one make'));
  if (a.file === b.file) found.push(evidence(0.1, 'both stand in one file'));
  return found;
}

function shareWord(a: string, b: string): boolean {
  const words = new Set(a.split(' '));
  return b.split(' ').some((word) => word !== '' && words.has(word));
}

export function comesToTheSame(a: Pair, b: Pair): boolean {
  return isSameCandidate(a.accel, b.accel) && isSameCandidate(a.gyro, b.gyro);
}

/** The same columns, or the same values in another unit. */
export function isSameCandidate(a: Candidate, b: Candidate): boolean {
  return a === b || a.triple === b.triple || sameValues(a.facts.columns, b.facts.columns);
}

export function names({ facts }: Candidate): string {
  return facts.columns.map(({ name }) => name).join(', ');
}
/** The triple of one kind whose three roles the user states; null where not all three are, or in several files. */
export function statedCandidate(
  kind: 'accel' | 'gyro',
  overrides: readonly RoleOverride[],
  heads: readonly FileHead[],
  why: (own: RoleOverride) => string,
): Candidate | null {
  const own = (['X', 'Y', 'Z'] as const).flatMap(
    (axis) => overrides.find(({ role }) => role === `${kind}${axis}`) ?? [],
  );
  const found = own.flatMap(({ file, index }) => heads[file]?.columns[index] ?? []);
  if (found.length < 3 || found.some(({ file }) => file !== found[0]!.file)) return null;
  const { codes, traits, group } = found[0]!.reading;
  const triple = { ...strangerTriple(kind, found), codes, traits, group };
  return { triple, facts: factsOf(found), stated: why(own[0]!) };
}
