import { buttonsOf, deflectionPressesOf, powerPressesOf } from '../../engine/base/buttons.ts';
import { COLUMN_ROLES, isGravityRole, MOTION_ROLES, type MotionRole } from '../../engine/base/columnRoles.ts';
import type { Press } from '../../engine/base/log.ts';
import type { LogReport, Mapping } from '../ground/types.ts';
import { likelyPowerButton, readPresses, type TimedText } from '../roles/tracks.ts';
import { planTable } from '../table/plan.ts';
import type { RawTable, TablePlan } from '../table/rawTable.ts';
import { readTable } from '../table/readTable.ts';
import { CR, LF } from '../text/scanCells.ts';
import { factorOf } from './assemble.ts';
import { EvenClock } from './liveClock.ts';
import { addGravity, unitMicros } from './prepare.ts';
import { widthOf } from './signedCodes.ts';

/** Rows of a log that is still being written. */
export interface LiveBatch {
  /** Since the log's first stamp; as the device counts, so that it falls where its clock begins anew. */
  readonly timeUs: Float64Array;
  /** Rates in deg/s and forces in g, sensor frame, in the order of `MOTION_ROLES`. */
  readonly columns: readonly Float64Array[];
  /** 1 where the power button is down, a value a row. */
  readonly power: Uint8Array;
  /** The button that deflections may wait for, likewise; null where the log has none so far. */
  readonly deflection: Uint8Array | null;
  /** Whether the log says when a button is let go; where it does not, one is down in the row in which it goes down. */
  readonly tellsReleases: boolean;
  /** Lines that were no rows. */
  readonly leftOut: number;
}

/** Nothing turns or pushes a prop so hard; such a value would go on ringing in every filter. */
const MOST: Readonly<Record<'gyro' | 'accel', number>> = { gyro: 100_000, accel: 1000 };
const TEXTS_KEPT = 4000;

/**
 * Reads the rows of a log as they are written, by the mapping that its first rows have been given: the same cells, units,
 * signs and buttons as when it is read as a whole. What only the whole tells (spread stamps, wild values) is left to that.
 */
export class LiveRows {
  private readonly head: Uint8Array;
  private readonly mapping: Mapping;
  private readonly plan: TablePlan;
  private readonly headTable: RawTable;
  private readonly clockUnit: string;
  private readonly unitUs: number;
  private readonly even: EvenClock | null;
  private readonly texts: { readonly name: string; readonly unit: string; readonly list: TimedText[] }[];
  /** Added to the stamps of rows to find presses by, so that they never fall, where the device's clock begins anew. */
  private shiftUs = 0;
  private lastUs = Number.NEGATIVE_INFINITY;

  private constructor(
    head: Uint8Array,
    mapping: Mapping,
    report: LogReport,
    plan: TablePlan,
    headTable: RawTable,
  ) {
    this.head = head;
    this.mapping = mapping;
    this.plan = plan;
    this.headTable = headTable;
    this.clockUnit = mapping.columns.find(({ role }) => role === 'time')?.unit ?? '';
    this.unitUs = unitMicros(this.clockUnit, report.rateHz);
    const isEven = this.clockUnit === '' || mapping.clock === 'even' || (report.evened ?? null) !== null;
    this.even = isEven ? new EvenClock(report.rateHz, report.evened === 'grid') : null;
    this.texts = plan.tracks.map(({ index }) => {
      const { name, unit } = mapping.columns.find((column) => column.index === index)!;
      return { name, unit, list: [] };
    });
  }

  /**
   * @param head  whole lines from the file's first on, some of them rows: what the layout is known by
   * @param report  of the log as far as it went when the mapping was made
   * @returns a sentence where such a log can only be read as a whole
   */
  static async open(head: Uint8Array, mapping: Mapping, report: LogReport): Promise<LiveRows | string> {
    const plan = planTable(mapping, 0);
    const tables = await readTable(sourceOf(mapping, [head]), plan, {});
    const [table] = tables;
    if (table === undefined || tables.length > 1)
      return 'The rows of its two sensors alternate: it is recorded, but can only be shown as a whole.';
    const lines = countLines(head) - mapping.files[0]!.firstDataLine + 1;
    if (table.rows + table.badRowCount + table.eventRows < lines / 2)
      return 'Its samples take more than one line each: it is recorded, but can only be shown as a whole.';
    if (widthOf(table.columns) !== null)
      return 'Its codes stand without a sign: it is recorded, but can only be shown as a whole.';
    return new LiveRows(head, mapping, report, plan, table);
  }

  /** The rows of the head itself. */
  readHead(): LiveBatch {
    return this.batchOf(this.headTable, 0, 0);
  }

  /** @param lines  whole lines from behind the head */
  async read(lines: Uint8Array): Promise<LiveBatch> {
    const [table] = await readTable(sourceOf(this.mapping, [this.head, lines]), this.plan, {});
    const bad = this.headTable.badRowCount;
    return this.batchOf(table!, this.headTable.rows, bad);
  }

  private batchOf(table: RawTable, fromRow: number, badBefore: number): LiveBatch {
    const columns = this.motionOf(table, fromRow);
    const rows: number[] = [];
    const times: number[] = [];
    for (let i = 0; i < table.rows - fromRow; ++i) {
      const stampUs = this.clockUnit === '' ? Number.NaN : table.clock[fromRow + i]! * this.unitUs;
      const timeUs = this.even ? this.even.step(stampUs) : stampUs;
      times.push(timeUs);
      if (isMeasured(columns, i)) rows.push(i);
    }
    const risingUs = times.map((timeUs) => this.rising(timeUs));
    for (const [i, { list }] of this.texts.entries()) this.noteTexts(table, i, list, fromRow, risingUs);
    return {
      timeUs: Float64Array.from(rows, (i) => times[i]!),
      columns: columns.map((column) => Float64Array.from(rows, (i) => column[i]!)),
      ...this.buttonsAt(rows.map((i) => risingUs[i]!)),
      leftOut: table.badRowCount - badBefore + times.length - rows.length,
    };
  }

  /** The six channels from a row on, gravity added, in deg/s and g. */
  private motionOf({ plan, columns }: RawTable, fromRow: number): Float64Array[] {
    const motion = new Map<MotionRole, Float64Array>();
    const gravity = new Map();
    for (const [i, { role, reversed }] of plan.motion.entries()) {
      const values = columns[i]!.slice(fromRow);
      if (reversed) for (let k = 0; k < values.length; ++k) values[k] = 0 - values[k]!;
      if (isGravityRole(role)) gravity.set(role, values);
      else motion.set(role, values);
    }
    addGravity(motion, gravity, plan.gravityFactor);
    return MOTION_ROLES.map((role) => motion.get(role)!.map((value) => value * factorOf(this.mapping, role)));
  }

  /**
   * The head comes before every batch, so that a text tells where it differs from the head's last one: where nothing is
   * told at the first row, that one stands there.
   */
  private noteTexts(
    table: RawTable,
    track: number,
    list: TimedText[],
    fromRow: number,
    times: readonly number[],
  ): void {
    if (times.length === 0) return;
    const events = table.trackEvents[track]!;
    const first = events.findLast(({ row }) => row <= fromRow);
    const later = events.filter(({ row }) => row > fromRow);
    for (const { row, text } of first ? [{ ...first, row: fromRow }, ...later] : later) {
      if (list.at(-1)?.text === text) continue;
      list.push({ timeUs: times[Math.floor(row) - fromRow]!, text });
    }
    if (list.length > TEXTS_KEPT) list.splice(0, list.length - TEXTS_KEPT);
  }

  private rising(timeUs: number): number {
    if (timeUs + this.shiftUs < this.lastUs) this.shiftUs = this.lastUs - timeUs + 1;
    this.lastUs = timeUs + this.shiftUs;
    return this.lastUs;
  }

  private buttonsAt(timesUs: readonly number[]): Pick<LiveBatch, 'power' | 'deflection' | 'tellsReleases'> {
    const presses = this.texts.flatMap(({ name, unit, list }, i) =>
      COLUMN_ROLES[this.plan.tracks[i]!.role].reads === 'presses'
        ? readPresses(list, name, unit, this.lastUs)
        : [],
    );
    const { mapping } = this;
    // A button with a column of its own is there before it is pressed: till then another would be taken for it.
    const powerButton = likelyPowerButton(buttonsOf({ presses, mapping }));
    const named = { presses, powerButton, mapping };
    const held = deflectionPressesOf(named);
    const told = presses.filter(({ upUs }) => upUs !== null).length;
    const hasEvents = this.mapping.columns.some(({ role, unit }) => role === 'button' && unit === 'edge');
    return {
      power: downAt(timesUs, powerPressesOf(named)),
      deflection: held && downAt(timesUs, held),
      tellsReleases: hasMissing(presses) ? false : told > 0 || !hasEvents,
    };
  }
}

/** Whether a button goes down again of which nobody said that it came up. */
function hasMissing(presses: readonly Press[]): boolean {
  const open = new Set<string>();
  return presses.some(({ button, upUs }) => {
    const isMissing = open.has(button);
    if (upUs === null) open.add(button);
    return isMissing;
  });
}

/** 1 at each moment at which a button is down. @param presses  of that button, in time order, as the moments are */
function downAt(timesUs: readonly number[], presses: readonly Press[]): Uint8Array {
  const down = new Uint8Array(timesUs.length);
  let k = 0;
  for (const [i, timeUs] of timesUs.entries()) {
    while (k + 1 < presses.length && presses[k + 1]!.downUs <= timeUs) ++k;
    const press = presses[k];
    if (!press || press.downUs > timeUs) continue;
    const isOpen = press.upUs === null && k + 1 === presses.length;
    if (isOpen || timeUs < (press.upUs ?? press.downUs + 1)) down[i] = 1;
  }
  return down;
}

function sourceOf({ files }: Mapping, parts: readonly Uint8Array[]) {
  return {
    name: files[0]!.name,
    sizeBytes: parts.reduce((sum, { length }) => sum + length, 0),
    open: async function* () {
      yield* parts;
    },
  };
}

/** Not a row of zeros alone, and no value that no prop can have. */
function isMeasured(columns: readonly Float64Array[], row: number): boolean {
  let isZero = true;
  for (const [i, role] of MOTION_ROLES.entries()) {
    const size = Math.abs(columns[i]![row]!);
    if (size > MOST[COLUMN_ROLES[role].units as 'gyro' | 'accel']) return false;
    isZero &&= size === 0;
  }
  return !isZero;
}

function countLines(bytes: Uint8Array): number {
  let lines = 0;
  for (let i = 0; i < bytes.length; ++i)
    if (bytes[i] === LF || (bytes[i] === CR && bytes[i + 1] !== LF)) ++lines;
  return lines;
}
