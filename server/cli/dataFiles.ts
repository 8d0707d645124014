import { type ColumnSource, parquetWriteBuffer } from 'hyparquet-writer';
import { intentOf, type Labels } from '../engine/labels/labels.ts';
import type { Evaluation } from '../engine/score/evaluate.ts';
import { listEvents } from '../engine/score/listEvents.ts';
import { eventReason } from '../engine/words/events.ts';
import { type Column, rowsOf } from './channelsFile.ts';

/** Samples that are written together: a reader can pass over the others. */
const ROW_GROUP = 100_000;

/** The channels of a take as CSV, a row a sample, time in seconds. */
export function channelsCsv(timeUs: Float64Array, columns: readonly Column[]): Iterable<string> {
  return rowsOf(timeUs, columns);
}

/** The same as Parquet: `time_us` a whole number, every other column a double, NaN where there is no value. */
export function channelsParquet(timeUs: Float64Array, columns: readonly Column[]): Uint8Array {
  const columnData: ColumnSource[] = [
    { name: 'time_us', data: BigInt64Array.from(timeUs, (us) => BigInt(us)), type: 'INT64', nullable: false },
    ...columns.map(([name, read]) => ({
      name,
      data: Float64Array.from(timeUs, (_, i) => read(i)),
      type: 'DOUBLE' as const,
      nullable: false,
    })),
  ];
  return parquet(columnData);
}

/** One event of a take, or one press and what became of it. */
interface EventRow {
  readonly timeUs: number;
  readonly kind: string;
  readonly button: string | null;
  /** What a press was labelled. */
  readonly intent: string | null;
  /** Whether a press was let through; null for other events, and where it is not known. */
  readonly accepted: boolean | null;
  readonly reason: string;
}

/** What the prop would have done over a take, in time order. */
export function eventRows(evaluation: Evaluation, labels: Labels): EventRow[] {
  return listEvents(evaluation).map((event): EventRow => {
    const judged = event.kind === 'press' ? event.facts : null;
    return {
      timeUs: event.timeUs,
      kind: event.kind,
      button: judged?.press.button ?? null,
      intent: judged && (intentOf(labels, judged.press)?.intent ?? null),
      accepted: judged?.accepted ?? null,
      reason: eventReason(event),
    };
  });
}

export function eventsCsv(rows: readonly EventRow[]): Iterable<string> {
  const lines = rows.map(({ timeUs, kind, button, intent, accepted, reason }) =>
    [
      String(timeUs),
      kind,
      button ?? '',
      intent ?? '',
      accepted === null ? '' : String(Number(accepted)),
      reason,
    ]
      .map(csvCell)
      .join(','),
  );
  return [`time_us,kind,button,intent,accepted,reason\n${lines.map((line) => `${line}\n`).join('')}`];
}

export function eventsParquet(rows: readonly EventRow[]): Uint8Array {
  return parquet([
    { name: 'time_us', data: rows.map(({ timeUs }) => BigInt(timeUs)), type: 'INT64', nullable: false },
    { name: 'kind', data: rows.map(({ kind }) => kind), type: 'STRING', nullable: false },
    { name: 'button', data: rows.map(({ button }) => button), type: 'STRING' },
    { name: 'intent', data: rows.map(({ intent }) => intent), type: 'STRING' },
    { name: 'accepted', data: rows.map(({ accepted }) => accepted), type: 'BOOLEAN' },
    { name: 'reason', data: rows.map(({ reason }) => reason), type: 'STRING', nullable: false },
  ]);
}

function parquet(columnData: ColumnSource[]): Uint8Array {
  return new Uint8Array(parquetWriteBuffer({ columnData, rowGroupSize: ROW_GROUP }));
}

/** RFC 4180: quoted where it holds a comma, a quote or a line end. */
function csvCell(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
