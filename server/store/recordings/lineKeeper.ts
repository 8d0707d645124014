const LF = 10;
const CR = 13;
/** What has no line end for so long is no log; it is kept all the same, as it came. */
const LINE_BYTES_AT_MOST = 64 * 1024;
const COMMENT = /^\s*(#|;|%|\/\/)/;
const NUMBER = /(^|[\s,;:=|{[])[+-]?\.?[0-9]/;

interface Passed {
  /** Whole lines, as they came. */
  readonly lines: Buffer;
  /** A line that began before it was listened to; null for none. */
  readonly joined: string | null;
}

/**
 * Lets whole lines through and holds back the one that is still being written: cut off, it could pass for a row with
 * other numbers (0.1234 cut to 0.12).
 */
export class LineKeeper {
  private held = Buffer.alloc(0);
  private isJoining: boolean;

  /** @param joins  whether the first line may have begun before it was listened to, as a device's may */
  constructor(joins: boolean) {
    this.isJoining = joins;
  }

  push(bytes: Uint8Array): Passed {
    const all = this.held.length === 0 ? Buffer.from(bytes) : Buffer.concat([this.held, bytes]);
    const end = all.length > LINE_BYTES_AT_MOST ? all.length : wholeEnd(all);
    this.held = all.subarray(end);
    const lines = all.subarray(0, end);
    return this.isJoining && end > 0 ? this.join(lines) : { lines, joined: null };
  }

  /** Takes out the unfinished line. */
  takeRest(): Buffer {
    const rest = this.held;
    this.held = Buffer.alloc(0);
    return rest;
  }

  /** The first line is kept if no end of a row can look like it: a comment, or words without a number. */
  private join(lines: Buffer): Passed {
    this.isJoining = false;
    const end = firstEnd(lines);
    const first = lines.toString('latin1', 0, end).replace(/[\r\n]+$/, '');
    if (COMMENT.test(first) || !NUMBER.test(first)) return { lines, joined: null };
    return { lines: lines.subarray(end), joined: first };
  }
}

/** Index after the last line end; a CR at the very end may be half of a CRLF. */
function wholeEnd(bytes: Buffer): number {
  const lf = bytes.lastIndexOf(LF);
  const cr = bytes.length < 2 ? -1 : bytes.lastIndexOf(CR, bytes.length - 2);
  return Math.max(lf, cr) + 1;
}

function firstEnd(lines: Buffer): number {
  const at = lines.findIndex((byte) => byte === LF || byte === CR);
  if (at < 0) return lines.length;
  return lines[at] === CR && lines[at + 1] === LF ? at + 2 : at + 1;
}
