import type { MotionRole, Role } from '../../engine/base/columnRoles.ts';
import type { LoggedDecisions } from '../../engine/base/decisions.ts';
import type { MotionLog, Press, Span } from '../../engine/base/log.ts';
import type { Mount } from '../../engine/base/mount.ts';
import type { LedgerEntry } from './ledger.ts';

/** A wider table is refused: no logger writes one, and every column is looked at. */
export const COLUMNS_AT_MOST = 4096;

/** How one column is read, and why. */
export interface ColumnMapping {
  /** Counts from 0 among the files of the take. */
  readonly file: number;
  /** Counts from 0 in that file. */
  readonly index: number;
  /** The header's text, or `column 3` (counting from 1) where there is none. */
  readonly name: string;
  readonly role: Role;
  /**
   * Acceleration: `g`, `m/s2`, `mg` or `lsb:16384` (codes per g). Rate: `deg/s`, `rad/s`, `mdeg/s` or `lsb:16.4`
   * (codes per deg/s); rarer units of both in units.ts. Time: `s`, `ms`, `us`, `ns`, `min`, `day`, `iso8601`,
   * `timeOfDay`, `counter`, or `s.us` (`12.84000` is 12 s and 84 000 us). Button: `level`, `activeHigh`,
   * `activeLow`, `edge`, `above:512` or `below:512` (tracks.ts). Gravity:
   * `added` or `subtracted`, in the unit of the acceleration or in one of its own (`added:m/s2`). Every other role: ''.
   */
  readonly unit: string;
  readonly reason: string;
  /** What is doubtful about it, one sentence each; the report's warnings say so too. */
  readonly notes?: readonly string[];
  /** True where the sensor counts the other way round: each value is read with the other sign. Motion and gravity only. */
  readonly reversed?: boolean;
}

/** What may part fields: one character, no line end, letter, digit, quote, sign or decimal point. */
export const DELIMITER = /^[^\r\n\0\p{L}\p{N}\p{Cs}"'+.-]$/u;

export function isDelimiter(text: string): boolean {
  return DELIMITER.test(text);
}

/** How one file is cut into fields. Lines count from 1. */
export interface FileMapping {
  readonly name: string;
  readonly delimiter: string;
  readonly decimal: '.' | ',';
  readonly headerLine: number | null;
  readonly firstDataLine: number;
  /** What starts a comment line, where the file has such lines. */
  readonly comment: string | null;
  readonly columnCount: number;
}

/** All that is needed to read the files of a take again, the same way. */
export interface Mapping {
  readonly files: readonly FileMapping[];
  readonly columns: readonly ColumnMapping[];
  /** Stated by the user or by the file; used only where no time column is mapped, or its unit is `counter`. */
  readonly rateHz: number | null;
  readonly rateReason: string;
  /** How the clock's stamps are taken; as they look best where nothing was said. */
  readonly clock?: ClockUse;
  /** With the `even` clock: the rate, instead of the stamps' mean pace. */
  readonly evenHz?: number;
  readonly mount: Mount;
  readonly mountReason: string;
  /** True where nobody has said how the sensor sits, and x is taken for the axis toward the tip. */
  readonly isMountAssumed?: boolean;
}

/** `even`: rows follow one another at even steps, whatever their stamps; `stamps`: each row has its own stamp. */
export type ClockUse = 'even' | 'stamps';

export const CLOCK_USES: readonly ClockUse[] = ['even', 'stamps'];

/**
 * Bytes with a name. `open` may be called several times and starts at the first byte each time; a chunk may be overwritten
 * once the next one is asked for.
 */
export interface LogSource {
  readonly name: string;
  readonly sizeBytes: number;
  open(): AsyncIterable<Uint8Array>;
}

/** A row that was left out, and why. Line and column count from 1. */
export interface BadRow {
  readonly file: string;
  readonly line: number;
  readonly column: number | null;
  readonly why: string;
}

/** What the log holds and what had to be mended to read it. */
export interface LogReport {
  readonly columns: readonly ColumnMapping[];
  /** Rows that became samples. */
  readonly rows: number;
  /** The first 200. */
  readonly badRows: readonly BadRow[];
  readonly badRowCount: number;
  readonly rateHz: number;
  readonly rateReason: string;
  readonly durationS: number;
  /** Rows of zeros alone, left out. Older takes don't say. */
  readonly zeroRows?: number;
  /** Why rows have even times instead of their stamps: these came in bunches, are cut to a grid, or the user said so. */
  readonly evened?: 'bunches' | 'grid' | 'stated' | null;
  /** Rows dropped because they repeat the stamp and the values of the row before. */
  readonly duplicates: number;
  /** Rows whose stamp lies before that of the row above. */
  readonly backwards: number;
  /** Steps over twice the regular one: rows are missing there, whether or not it is a gap. */
  readonly longSteps: number;
  readonly longestStepMs: number;
  readonly gaps: number;
  /** The first 50. */
  readonly gapList: readonly { readonly startS: number; readonly endS: number }[];
  /** Samples at the end of each channel's range. */
  readonly saturated: Readonly<Record<MotionRole, number>>;
  /** Largest magnitude of the three rates together, bias included. */
  readonly peakRateDps: number;
  readonly peakAccelG: number;
  readonly presses: readonly { readonly button: string; readonly count: number }[];
  readonly warnings: readonly string[];
  /** Takes read by older versions don't say. */
  readonly buttonDoubts?: readonly ButtonDoubt[];
  /** ISO 8601 of the first sample, where the log's clock has an epoch. */
  readonly startTime: string | null;
}

/** What is odd about a button's column: up and down may be the wrong way round, or it is the wrong column. */
export interface ButtonDoubt {
  readonly file: number;
  readonly index: number;
  readonly name: string;
  /** A sentence of `warnings`. */
  readonly text: string;
  /** The unit that turns up and down round; null where that makes no sense. */
  readonly turned: string | null;
}

/** A stretch of rows that carry the same text in a label column. */
export interface TextSpan extends Span {
  readonly text: string;
}

export interface ReadTake {
  /** In the sensor frame. */
  readonly log: MotionLog;
  /** 1 where any channel of the sample is saturated; as long as the log. */
  readonly saturated: Uint8Array;
  readonly presses: readonly Press[];
  readonly textSpans: readonly TextSpan[];
  /** What the prop logged of its own decisions; null where no column of the log can be read so. */
  readonly decisions: LoggedDecisions | null;
  readonly report: LogReport;
}

export interface Preview {
  /** Whether one of `needs` is how the clock's stamps are to be taken. */
  readonly isClockOpen: boolean;
  readonly mapping: Mapping;
  /** null while `needs` is not empty. */
  readonly report: LogReport | null;
  /** For each file its first 12 records as text, header included. */
  readonly head: readonly (readonly (readonly string[])[])[];
  /** What the user must state before the log can be read, one plain sentence each. */
  readonly needs: readonly string[];
  /** All that was stated, with what was remembered where it was applied. */
  readonly stated: Overrides;
  /** What of it differs from the guess, and so is worth remembering. */
  readonly corrections: Overrides;
  /** What the user set for files of this shape before; null for nothing. */
  readonly remembered: RememberedNote | null;
  /** What each file holds by itself: halves of one take lack what the other has. */
  readonly holds: readonly HeldMotion[];
  /** Columns that may be a button, though nothing says so. */
  readonly buttonCandidates: readonly ButtonCandidate[];
  /** What was weighed against what to come to the mapping. */
  readonly ledger: readonly LedgerEntry[];
}

export interface HeldMotion {
  readonly accel: boolean;
  readonly gyro: boolean;
}

export interface ButtonCandidate {
  readonly file: number;
  readonly index: number;
  readonly name: string;
  /** False where the part of the log that was looked at shows one state only. */
  readonly changes: boolean;
}

export interface RememberedNote {
  readonly id: string;
  readonly fileName: string;
  /** ISO 8601. */
  readonly savedAt: string;
  /** Whether anything of what is stated comes from it. */
  readonly inUse: boolean;
}

/** What the user states; it beats every guess. */
export interface Overrides {
  readonly rateHz?: number;
  readonly clock?: ClockUse;
  readonly timeUnit?: string;
  readonly accelUnit?: string;
  readonly gyroUnit?: string;
  readonly roles?: readonly RoleOverride[];
  /** Columns to read with the other sign; those that are no motion keep theirs. */
  readonly reversed?: readonly ColumnPlace[];
  readonly mount?: Mount;
}

/** Both count from 0: the file among those of the take, the column in it. */
export interface ColumnPlace {
  readonly file: number;
  readonly index: number;
}

export interface RoleOverride extends ColumnPlace {
  readonly role: Role;
  readonly unit?: string;
}

export interface Hooks {
  readonly signal?: AbortSignal;
  /** Called now and then with the share of the bytes read so far, 0 to 1. */
  readonly onProgress?: (fraction: number) => void;
}
