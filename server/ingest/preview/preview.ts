import { COLUMN_ROLES, isAxis, isGravityRole, sensorOf } from '../../engine/base/columnRoles.ts';
import { IDENTITY_MOUNT } from '../../engine/base/mount.ts';
import { LogFormatError } from '../../errors.ts';
import type { LedgerEntry } from '../ground/ledger.ts';
import {
  isInUse,
  isSameData,
  type Memory,
  mergeOverrides,
  NO_MEMORY,
  type RememberedMapping,
  recall,
  STATED_BY_YOU,
  type WhyStated,
  whyStated,
} from '../ground/remembered.ts';
import type {
  ColumnMapping,
  HeldMotion,
  Hooks,
  LogSource,
  Mapping,
  Overrides,
  Preview,
  ReadTake,
  RememberedNote,
} from '../ground/types.ts';
import { canonicalUnit, partDigits } from '../ground/units.ts';
import { type FileHead, readFileHead } from '../layout/fileHead.ts';
import { findButtonCandidates } from '../roles/buttonCandidates.ts';
import { reverseColumns } from '../roles/reversed.ts';
import { guessRoles, motionIn } from '../roles/roles.ts';
import { rateFromSteps } from '../roles/stepColumn.ts';
import type { OpenRole } from '../roles/weighSensors.ts';
import { planTable } from '../table/plan.ts';
import { assembleTake, joinParts } from '../take/assemble.ts';
import { settleGravitySign } from '../take/gravitySign.ts';
import { readParts } from '../take/readTake.ts';
import { type Evidence, gatherEvidence } from '../units/evidence.ts';
import { findCorrections } from './corrections.ts';
import { findNeeds, needsOfClock } from './needs.ts';
import { checkOverrides } from './overrides.ts';
import { settleUnits, withStatedUnits } from './settleUnits.ts';

/** A preview, and what was read for it. */
export interface PreviewedTake {
  readonly preview: Preview;
  /** To the bit what `readTake` gives by the preview's mapping; null where something is asked, or that has to be read anew. */
  readonly take: ReadTake | null;
}

/**
 * Looks at the files of one take: guesses dialect, columns, units and rate, each with its reason, and reads the whole
 * log so that the report tells what will come out. What cannot be known is listed in `needs`.
 * @param memory  what the user corrected in logs of other shapes and of this one
 * @throws LogFormatError  where a file is no motion log
 * @throws RangeError  where an override makes no sense
 */
export async function previewLog(
  sources: readonly LogSource[],
  overrides: Overrides,
  hooks: Hooks,
  memory: Memory = NO_MEMORY,
): Promise<Preview> {
  return (await previewAndRead(sources, overrides, hooks, memory)).preview;
}

/** The same, with the take that was read on the way: who goes on with it need not read the files again. */
export async function previewAndRead(
  sources: readonly LogSource[],
  overrides: Overrides,
  hooks: Hooks,
  memory: Memory = NO_MEMORY,
): Promise<PreviewedTake> {
  checkOverrides(overrides);
  if (sources.length === 0) throw new RangeError('no file was given');
  const heads: FileHead[] = [];
  for (const [file, source] of sources.entries()) heads.push(await readFileHead(source, file));
  const drafted = draftMapping(heads, {}, STATED_BY_YOU);
  const guess = drafted.mapping;
  const remembered = recall(memory, guess);
  const stated = remembered && memory.apply ? mergeOverrides(remembered.corrections, overrides) : overrides;
  const why = whyStated(remembered, stated);
  const isNothingStated = Object.keys(stated).length === 0;
  const { mapping: draft, ledger, open } = isNothingStated ? drafted : draftMapping(heads, stated, why);
  const correctionsBy = (evidence: Evidence | null) => findCorrections(stated, guess, draft, heads, evidence);
  const known = {
    isClockOpen: false,
    mapping: withStatedUnits(draft, heads, stated),
    report: null,
    head: heads.map(({ preview }) => preview),
    stated,
    corrections: correctionsBy(null),
    remembered: noteOf(remembered, stated),
    holds: heads.map(motionIn),
    buttonCandidates: findButtonCandidates(draft, heads),
    ledger,
  };
  const asked = (own: Partial<Preview> & Pick<Preview, 'needs'>) => ({
    preview: { ...known, ...own },
    take: null,
  });
  refuseStrangers(heads, draft, known.holds);
  const needs = findNeeds(draft, heads, open);
  if (needs.length > 0) return asked({ needs });
  const parts = await readParts(sources, draft, hooks);
  const clockNeeds = needsOfClock(parts, draft);
  // How stamps are to be taken settles nothing of rows that stand out of order.
  const isClockOpen = !parts.some(({ prepared }) => prepared.isOutOfOrder);
  if (clockNeeds.length > 0) return asked({ isClockOpen, needs: clockNeeds });
  const isGravityStated = stated.roles?.some(({ role }) => isGravityRole(role)) ?? false;
  const whole = isGravityStated ? draft : settleGravitySign(parts, draft);
  const { timeUs, columns } = joinParts(parts);
  const evidence = gatherEvidence(timeUs, columns);
  const settled = settleUnits(whole, heads, stated, evidence, why);
  const { mapping } = settled;
  const own = { mapping, ledger: [...ledger, ...settled.ledger], needs: settled.needs };
  if (settled.needs.length > 0) return asked(own);
  // First, as the evidence goes by the columns, and assembling uses them up.
  const corrections = correctionsBy(evidence);
  const take = assembleTake(parts, mapping);
  return {
    preview: { ...known, ...own, corrections, report: take.report },
    take: isReadAlike(draft, mapping) ? take : null,
  };
}

/** True where two mappings take the same numbers from the files: gravity that turned out to be taken off is added first. */
function isReadAlike(a: Mapping, b: Mapping): boolean {
  return a.files.every((_, file) => isSameData(planTable(a, file), planTable(b, file)));
}

function noteOf(remembered: RememberedMapping | null, stated: Overrides): RememberedNote | null {
  if (!remembered) return null;
  const { id, fileName, savedAt } = remembered;
  return { id, fileName, savedAt, inUse: isInUse(remembered, stated) };
}

interface Draft {
  readonly mapping: Mapping;
  readonly ledger: readonly LedgerEntry[];
  readonly open: readonly OpenRole[];
}

function draftMapping(heads: readonly FileHead[], overrides: Overrides, why: WhyStated): Draft {
  const { columns, ledger, open } = guessRoles(heads, overrides.roles ?? [], why);
  const stated = heads.find(({ facts }) => facts.rateHz !== null)?.facts;
  const timeUnit = overrides.timeUnit === undefined ? null : canonicalUnit('time', overrides.timeUnit);
  const isRateStated = overrides.rateHz !== undefined;
  const hasClock = columns.some(({ role }) => role === 'time');
  let rateReason = hasClock ? 'the clock tells the rate' : 'no column is a clock';
  if (isRateStated) rateReason = why('rateHz');
  else if (stated) rateReason = `the file says "${stated.rateText}"`;
  const steps = isRateStated || stated ? null : rateFromSteps(heads, columns);
  if (steps) rateReason = steps.reason;
  if (overrides.clock === 'even' && !isRateStated)
    rateReason = 'the mean pace of the stamps, until a rate is stated';
  const mapping = {
    files: heads.map(({ mapping }) => mapping),
    columns: reverseColumns(
      columns.map((column) => withStatedUnit(column, timeUnit, overrides.accelUnit, why)),
      overrides.reversed ?? [],
      why,
    ),
    rateHz: overrides.rateHz ?? stated?.rateHz ?? steps?.rateHz ?? null,
    rateReason,
    ...clockUse(overrides),
    mount: overrides.mount ?? IDENTITY_MOUNT,
    ...(overrides.mount
      ? { mountReason: why('mount') }
      : { mountReason: 'nobody has said which way the blade points: +x is taken', isMountAssumed: true }),
  };
  return { mapping, ledger, open };
}

function withStatedUnit(
  column: ColumnMapping,
  timeUnit: string | null,
  accelUnit: string | undefined,
  why: WhyStated,
): ColumnMapping {
  if (column.role === 'time' && timeUnit && !isPartOf(column.unit, timeUnit))
    return { ...column, unit: timeUnit, reason: `unit ${why('timeUnit')}`, notes: [] };
  // It is known already only where gravity in another unit is to be added.
  if (sensorOf(column.role) === 'accel' && column.unit !== '' && accelUnit !== undefined)
    return { ...column, unit: canonicalUnit('accel', accelUnit) ?? column.unit };
  return column;
}

/** A stated rate tells the steps of an even clock; without one the stamps' mean pace does. */
function clockUse({ clock, rateHz }: Overrides): Pick<Mapping, 'clock' | 'evenHz'> {
  if (clock === undefined) return {};
  return clock === 'even' && rateHz !== undefined ? { clock, evenHz: rateHz } : { clock };
}

/** Seconds and microseconds joined by a point are seconds too: whoever says so means no other reading. */
function isPartOf(unit: string, stated: string): boolean {
  return stated === 's' && partDigits(unit) > 0;
}

/** A file in which nothing looks like motion, time or presses is no motion log. */
function refuseStrangers(heads: readonly FileHead[], draft: Mapping, holds: readonly HeldMotion[]): void {
  for (const [file, { name, layout, mapping, columns }] of heads.entries()) {
    const numeric = columns.filter(({ sample }) => sample.kind === 'number').length;
    const roles = draft.columns.filter((column) => column.file === file).map(({ role }) => role);
    const isTimedLabel = roles.includes('time') && roles.includes('label');
    const isUsed =
      isTimedLabel || roles.some((role) => isAxis(role) || COLUMN_ROLES[role].reads === 'presses');
    // Motion that another file's was preferred to is motion all the same.
    const { accel, gyro } = holds[file]!;
    // Without names, three columns of numbers may be the axes of one sensor: only the user can tell.
    const enough = layout.headerLine === null ? 3 : 6;
    if (isUsed || numeric >= enough || accel || gyro) continue;
    const shown = layout.names.slice(0, 6).join(', ');
    throw new LogFormatError(
      `no column looks like acceleration, angular rate or a button (${layout.columnCount} columns: ${shown})`,
      { file: name, line: mapping.headerLine ?? mapping.firstDataLine },
    );
  }
}
