import { type Role, sensorOf } from '../../engine/base/columnRoles.ts';
import { isMissing, parseCell } from '../text/cells.ts';
import { lineOfRow, type RawTable, type TablePlan, type TrackEvent } from './rawTable.ts';

type Sensor = 'gyro' | 'accel';

/** A row that holds one of the two sensors only. */
interface SparseRow {
  /** How many whole rows stand above it. */
  readonly after: number;
  readonly line: number;
  readonly clock: number;
  readonly values: readonly number[];
}

/** Such rows are a way of logging, and no accident, where at least this share of all rows is so. */
const COMMON_SHARE = 0.3;

/**
 * Keeps the rows in which one sensor's cells are all empty and the other's all there: logs of sensors at two rates,
 * or of sensors that take turns, are written so. Where they are common, the table is taken apart into one for each
 * sensor; else they are bad rows like others.
 */
export class SparseRows {
  private readonly plan: TablePlan;
  private readonly rows: Readonly<Record<Sensor, SparseRow[]>> = { gyro: [], accel: [] };

  constructor(plan: TablePlan) {
    this.plan = plan;
  }

  /** True where the row is such a row and was kept. */
  take(fields: readonly string[], after: number, clock: number, line: number): boolean {
    const [gyro, accel] = [this.read('gyro', fields), this.read('accel', fields)];
    if (Number.isNaN(clock) || (gyro === null) === (accel === null)) return false;
    const [own, other] = gyro ? (['gyro', 'accel'] as const) : (['accel', 'gyro'] as const);
    if (!this.columnsOf(other).every(({ index }) => isMissing(fields[index]!))) return false;
    this.rows[own].push({ after, line, clock, values: (gyro ?? accel)! });
    return true;
  }

  get count(): number {
    return this.rows.gyro.length + this.rows.accel.length;
  }

  /** True where the table falls into two. */
  isCommon(wholeRows: number): boolean {
    const { gyro, accel } = this.rows;
    const hasBoth = gyro.length + wholeRows > 0 && accel.length + wholeRows > 0;
    return hasBoth && this.count >= COMMON_SHARE * (wholeRows + this.count);
  }

  /** One table for each sensor; the first also holds tracks and bad rows. */
  split(whole: RawTable): RawTable[] {
    return (['gyro', 'accel'] as const).map((sensor, i) => {
      const table = this.tableOf(sensor, whole);
      const none = { trackEvents: [], badRows: [], badRowCount: 0, eventRows: 0 };
      return i === 0 ? table : { ...table, ...none, plan: { ...table.plan, tracks: [] } };
    });
  }

  private tableOf(sensor: Sensor, whole: RawTable): RawTable {
    const sparse = this.rows[sensor];
    const motion = this.columnsOf(sensor);
    const slots = motion.map((column) => this.plan.motion.indexOf(column));
    const rows = whole.rows + sparse.length;
    const clock = new Float64Array(rows);
    const columns = motion.map(() => new Float64Array(rows));
    const lineMarks: (readonly [number, number])[] = [];
    let next = 0;
    for (let row = 0; row < rows; ++row) {
      const own = sparse[row - next];
      const isSparse = own !== undefined && own.after <= next;
      const line = isSparse ? own.line : lineOfRow(whole, next);
      if (line - row !== (lineMarks.at(-1)?.[1] ?? 0) - (lineMarks.at(-1)?.[0] ?? 0))
        lineMarks.push([row, line]);
      clock[row] = isSparse ? own.clock : whole.clock[next]!;
      for (let i = 0; i < columns.length; ++i) {
        columns[i]![row] = isSparse ? own.values[i]! : whole.columns[slots[i]!]![next]!;
      }
      if (!isSparse) ++next;
    }
    const trackEvents = whole.trackEvents.map((events) => placeEvents(events, clock));
    // Ends of captures count where there is no clock alone, and these tables have one.
    const marks = { breaks: [], lostRows: [] };
    return {
      ...whole,
      ...marks,
      plan: { ...this.plan, motion },
      rows,
      clock,
      columns,
      lineMarks,
      trackEvents,
    };
  }

  private columnsOf(sensor: Sensor): TablePlan['motion'][number][] {
    return this.plan.motion.filter(({ role }) => sensorFor(role) === sensor);
  }

  private read(sensor: Sensor, fields: readonly string[]): number[] | null {
    const values = this.columnsOf(sensor).map(({ index }) =>
      parseCell(fields[index]!, this.plan.file.decimal),
    );
    return values.length >= 3 && values.every((value) => !Number.isNaN(value)) ? values : null;
  }
}

/** Gravity is of the accelerometer: it was taken out of what that read. */
function sensorFor(role: Role): Sensor {
  return sensorOf(role) ?? 'accel';
}

/** Sets each change of a text on the last row that is not later. */
function placeEvents(events: readonly TrackEvent[], clock: Float64Array): TrackEvent[] {
  let row = -1;
  return events.map((event) => {
    while (row + 1 < clock.length && clock[row + 1]! <= event.clock) ++row;
    return { ...event, row };
  });
}
