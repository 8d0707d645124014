import { enter, LEAD_NEEDED, type LedgerEntry, leadOf, rank, sumOf, type Weighed } from '../ground/ledger.ts';
import { NOUNS } from '../ground/units.ts';
import type { FileHead } from '../layout/fileHead.ts';
import type { NamedColumn, Triple } from '../layout/triples.ts';
import { restsAsGravity } from './nameless.ts';
import { type Candidate, forceEvidence, namingEvidence, rateEvidence } from './sensorEvidence.ts';
import {
  comesToTheSame,
  findPairs,
  isNamed,
  isSameCandidate,
  names,
  type Pair,
  type StatedSensors,
} from './sensorPairs.ts';

/** Which columns hold force and which hold rates, as far as that is clear. */
interface SensorChoice {
  readonly accel: Triple | null;
  readonly gyro: Triple | null;
  readonly accelTriples: readonly Triple[];
  readonly gyroTriples: readonly Triple[];
  readonly ledger: readonly LedgerEntry[];
  readonly open: readonly OpenRole[];
  /** What the user should hear about the choice; null for nothing. */
  readonly note: string | null;
}

/** What the user has to state the columns of. */
export interface OpenRole {
  readonly kind: 'accel' | 'gyro' | 'gravity' | 'time';
  /** Whose clock it is; null for a sensor of the whole take. */
  readonly file: number | null;
  /** Why, and what to do, in one plain sentence. */
  readonly need: string;
}

const QUESTION = 'Which columns hold acceleration and angular rate?';

/**
 * Weighs every pair of triples that can be acceleration and rates. Names make triples; where they tell one of the two
 * only, or neither, every three columns without a telling name are tried.
 * @param free  columns that nobody has stated to be something else
 */
export function weighSensors(
  heads: readonly FileHead[],
  free: readonly NamedColumn[],
  stated: StatedSensors = { accel: null, gyro: null },
): SensorChoice {
  const found = findPairs(heads, free, stated);
  return found.pairs.length > 0
    ? settle(found.pairs, found.accel, found.gyro, heads)
    : lone(found.accel, found.gyro);
}

/** The best pair where it leads, or where its rivals come to the same. */
function settle(
  pairs: readonly Weighed<Pair>[],
  accel: readonly Candidate[],
  gyro: readonly Candidate[],
  heads: readonly FileHead[],
): SensorChoice {
  const best = pairs[0]!;
  const lead = leadOf(pairs, comesToTheSame);
  const isTold = isNamed(best.value.accel) && isNamed(best.value.gyro);
  const rival = pairs.find(({ value }) => value !== best.value && !comesToTheSame(value, best.value));
  const isClose = lead !== null && lead < LEAD_NEEDED;
  const isAlike = isClose && rival !== undefined && isTold && isSameMake(rival.value, best.value);
  const header = heads.find(({ columns }) => columns[0]?.file === best.value.accel.triple.file)?.layout
    .headerLine;
  const isCodes = best.value.accel.facts.isWhole && best.value.gyro.facts.isWhole;
  const isUntold = !isNamed(best.value.accel) && !isNamed(best.value.gyro) && header != null;
  const triples = {
    accelTriples: accel.map(({ triple }) => triple),
    gyroTriples: gyro.map(({ triple }) => triple),
  };
  if ((isClose && !isAlike) || (isUntold && isCodes)) {
    return {
      ...triples,
      ...unsettled(best.value, rival && isClose ? rival.value : null),
      ledger: [enter(QUESTION, pairs, lead, 'asked')],
      note: null,
    };
  }
  return {
    ...triples,
    accel: best.value.accel.triple,
    gyro: best.value.gyro.triple,
    ledger: [enter(QUESTION, pairs, lead, outcomeOf(best.value, isAlike))],
    open: [],
    note: isUntold
      ? `no name says which columns hold acceleration (${names(best.value.accel)}) and angular rate (${names(best.value.gyro)}): that is a guess from their values, so check it`
      : null,
  };
}

function outcomeOf({ accel, gyro }: Pair, isAlike: boolean): LedgerEntry['outcome'] {
  if (accel.stated !== null && gyro.stated !== null) return 'stated';
  return isAlike ? 'alike' : 'taken';
}

/** What stays open: where a rival agrees about one of the two sensors, that one is clear. */
function unsettled(best: Pair, rival: Pair | null): Pick<SensorChoice, 'accel' | 'gyro' | 'open'> {
  const isOpen = (kind: 'accel' | 'gyro') => rival === null || !isSameCandidate(best[kind], rival[kind]);
  const open = (['accel', 'gyro'] as const).filter(isOpen).map((kind) => {
    const or = rival === null ? '' : ` or ${names(rival[kind])}`;
    const why = rival === null ? 'no name says so' : 'what speaks for either weighs about the same';
    const need = `it is not clear which columns hold ${NOUNS[kind]}: ${names(best[kind])}${or} (${why}): say which`;
    return { kind, file: null, need };
  });
  return {
    accel: isOpen('accel') ? null : best.accel.triple,
    gyro: isOpen('gyro') ? null : best.gyro.triple,
    open,
  };
}

/** One sensor alone: the best of what is there, for a file that has its partner elsewhere. */
function lone(accel: readonly Candidate[], gyro: readonly Candidate[]): SensorChoice {
  const byName = (own: readonly Candidate[]) => own.filter(isNamed);
  const weighed = (own: readonly Candidate[]) =>
    rank(
      own.map((value) => ({
        value,
        reading: names(value),
        evidence: [
          ...namingEvidence(value),
          ...(value.triple.kind === 'accel' ? forceEvidence(value, Number.NaN) : rateEvidence(value, null)),
        ],
      })),
    );
  const strangers = accel.filter((own) => !isNamed(own) && restsAsGravity(own.facts));
  const forces = weighed([...byName(accel), ...strangers]);
  const rates = weighed(byName(gyro));
  const of = (own: readonly Weighed<Candidate>[]) => own.map(({ value }) => value.triple);
  return {
    accel: forces[0]?.value.triple ?? null,
    gyro: rates[0]?.value.triple ?? null,
    accelTriples: of(forces),
    gyroTriples: of(rates),
    ledger: [
      ...(forces.length > 0
        ? [enter('Which columns hold acceleration?', forces, leadOf(forces), 'taken')]
        : []),
      ...(rates.length > 0 ? [enter('Which columns hold angular rate?', rates, leadOf(rates), 'taken')] : []),
    ],
    open: [],
    note: null,
  };
}

/** Two sensors side by side: any of them is right. */
function isSameMake(a: Pair, b: Pair): boolean {
  const isAlike = (one: Candidate, other: Candidate) =>
    one.triple.traits.join() === other.triple.traits.join() &&
    sumOf(namingEvidence(one)) === sumOf(namingEvidence(other));
  return isAlike(a.accel, b.accel) && isAlike(a.gyro, b.gyro);
}
