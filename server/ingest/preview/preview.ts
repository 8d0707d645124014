import { IDENTITY_MOUNT } from '../../engine/base/mount.ts';
import { LogFormatError } from '../../errors.ts';
import { isGravityRole } from '../ground/gravityUnit.ts';
import type { LedgerEntry } from '../ground/ledger.ts';
import {
  isInUse,
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
  RememberedNote,
} from '../ground/types.ts';
import { canonicalUnit, partDigits } from '../ground/units.ts';
import { type FileHead, readFileHead } from '../layout/fileHead.ts';
import { findButtonCandidates } from '../roles/buttonCandidates.ts';
import { reverseColumns } from '../roles/reversed.ts';
import { guessRoles, motionIn } from '../roles/roles.ts';
import { rateFromSteps } from '../roles/stepColumn.ts';
import type { OpenRole } from '../roles/weighSensors.ts';
import { assembleTake, joinParts } from '../take/assemble.ts';
import { settleGravitySign } from '../take/gravitySign.ts';
import { readParts } from '../take/readTake.ts';
import { type Evidence, gatherEvidence } from '../units/evidence.ts';
import { findCorrections } from './corrections.ts';
import { findNeeds, needsOfClock } from './needs.ts';
import { checkOverrides } from './overrides.ts';
import { settleUnits } from './settleUnits.ts';

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
  const corrections = findCorrections(stated, guess, draft, heads, null);
  const holds = heads.map(motionIn);
  const known = {
    isClockOpen: false,
    head: heads.map(({ preview }) => preview),
    stated,
    remembered: noteOf(remembered, stated),
    holds,
    buttonCandidates: findButtonCandidates(draft, heads),
  };
  refuseStrangers(heads, draft, holds);
  const needs = findNeeds(draft, heads, open);
  if (needs.length > 0) return { ...known, mapping: draft, report: null, needs, corrections, ledger };
  const parts = await readParts(sources, draft, hooks);
  const clockNeeds = needsOfClock(parts, draft);
  if (clockNeeds.length > 0)
    return {
      ...known,
      isClockOpen: true,
      mapping: draft,
      report: null,
      needs: clockNeeds,
      corrections,
      ledger,
    };
  const isGravityStated = stated.roles?.some(({ role }) => isGravityRole(role)) ?? false;
  const whole = isGravityStated ? draft : settleGravitySign(parts, draft);
  const evidence = gather(parts);
  const settled = settleUnits(whole, heads, stated, evidence, why);
  const { mapping } = settled;
  const weighed = [...ledger, ...settled.ledger];
  if (settled.needs.length > 0)
    return { ...known, mapping, report: null, needs: settled.needs, corrections, ledger: weighed };
  // First, as the evidence goes by the columns, and assembling uses them up.
  const found = findCorrections(stated, guess, draft, heads, evidence);
  const { report } = assembleTake(parts, mapping);
  return { ...known, mapping, report, needs: [], corrections: found, ledger: weighed };
}

function noteOf(remembered: RememberedMapping | null, stated: Overrides): RememberedNote | null {
  if (!remembered) return null;
  const { id, fileName, savedAt } = remembered;
  return { id, fileName, savedAt, inUse: isInUse(remembered, stated) };
}

function gather(parts: Parameters<typeof joinParts>[0]): Evidence {
  const masks = parts.map(({ prepared }) => new Uint8Array(prepared.timeUs.length));
  const { timeUs, columns } = joinParts(parts, masks);
  return gatherEvidence(timeUs, columns);
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
  let rateReason = 'the clock tells the rate';
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
    mountReason: overrides.mount
      ? why('mount')
      : 'taken as x along the blade toward the tip: correct it under Mount here, or later in Signal check',
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
    return { ...column, unit: timeUnit, reason: `unit ${why('timeUnit')}` };
  // It is known already only where gravity in another unit is to be added.
  if (column.role.startsWith('accel') && column.unit !== '' && accelUnit !== undefined)
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
    const isUsed = isTimedLabel || roles.some((role) => !['ignored', 'time', 'label'].includes(role));
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
