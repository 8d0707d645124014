import type { Found, Named } from './found.ts';

type Column = Int32Array | Float64Array | Uint8Array;
type ColumnKind = 'Int32Array' | 'Float64Array' | 'Uint8Array';

/** Stands in the place of an array. */
interface Place {
  readonly isPlace: true;
  readonly kind: ColumnKind;
  readonly start: number;
  readonly length: number;
}

/** A value whose arrays lie together, deflated: maps of settings are a tenth of their size so. */
export interface Packed {
  /** The value, with a place for each array. */
  readonly rest: unknown;
  readonly bytes: Uint8Array<ArrayBuffer>;
  /** Before it was deflated. */
  readonly sizeBytes: number;
}

const ALIGNED = 8;

/** As `found.recall`, for what holds long arrays. What was just worked out is given as it is. */
export async function recallPacked<Value>(
  found: Found,
  named: Named,
  work: () => Promise<Value>,
): Promise<Value> {
  const known = await knownPacked<Value>(found, named);
  if (known) return known.value;
  const value = await work();
  await keepPacked(found, named, value);
  return value;
}

/** What is remembered under a name; null where nothing is. What a browser gives back damaged counts as nothing. */
export async function knownPacked<Value>(
  found: Found,
  named: Named,
): Promise<{ readonly value: Value } | null> {
  const [packed] = await found.known<Packed>([named]);
  if (packed === undefined) return null;
  return unpack(packed).then(
    (value) => ({ value: value as Value }),
    () => null,
  );
}

/** @throws TypeError  of what cannot be packed */
export async function keepPacked(found: Found, named: Named, value: unknown): Promise<void> {
  if (typeof CompressionStream !== 'undefined') await found.keep(named, await pack(value));
}

/** Of a value of plain objects, lists and arrays of numbers; one array that stands in two places does so again when it is unpacked. */
export async function pack(value: unknown): Promise<Packed> {
  const places = new Map<Column, Place>();
  let sizeBytes = 0;
  const rest = mapped(value, (column: Column) => {
    const known = places.get(column);
    if (known) return known;
    const kind = column.constructor.name as ColumnKind;
    const place: Place = { isPlace: true, kind, start: sizeBytes, length: column.length };
    places.set(column, place);
    sizeBytes += Math.ceil(column.byteLength / ALIGNED) * ALIGNED;
    return place;
  });
  const all = new Uint8Array(sizeBytes);
  for (const [column, { start }] of places)
    all.set(new Uint8Array(column.buffer, column.byteOffset, column.byteLength), start);
  return { rest, bytes: await through(all, new CompressionStream('deflate')), sizeBytes };
}

export async function unpack({ rest, bytes }: Packed): Promise<unknown> {
  const { buffer } = await through(bytes, new DecompressionStream('deflate'));
  const columns = new Map<string, Column>();
  const unfold = (value: unknown): unknown => {
    if (Array.isArray(value)) return value.map(unfold);
    if (typeof value !== 'object' || value === null) return value;
    if (!('isPlace' in value))
      return Object.fromEntries(Object.entries(value).map(([name, part]) => [name, unfold(part)]));
    const { kind, start, length } = value as Place;
    const key = `${kind} ${start} ${length}`;
    const column = columns.get(key) ?? new KINDS[kind](buffer, start, length).slice();
    columns.set(key, column);
    return column;
  };
  return unfold(rest);
}

const KINDS = { Int32Array, Float64Array, Uint8Array } as const;

function mapped(value: unknown, onColumn: (column: Column) => unknown): unknown {
  if (ArrayBuffer.isView(value)) {
    if (!(value.constructor.name in KINDS)) throw new TypeError(`no place for a ${value.constructor.name}`);
    return onColumn(value as Column);
  }
  if (Array.isArray(value)) return value.map((part) => mapped(part, onColumn));
  if (typeof value !== 'object' || value === null) return value;
  // A map or a set has no parts of its own that this would see: it would come back empty.
  if (Object.getPrototypeOf(value) !== Object.prototype)
    throw new TypeError(`no place for a ${value.constructor.name}`);
  return Object.fromEntries(Object.entries(value).map(([name, part]) => [name, mapped(part, onColumn)]));
}

async function through(
  bytes: Uint8Array<ArrayBuffer>,
  { readable, writable }: CompressionStream | DecompressionStream,
): Promise<Uint8Array<ArrayBuffer>> {
  const writer = writable.getWriter();
  const written = writer.write(bytes).then(() => writer.close());
  // Not every reader is told what is wrong with the bytes; whoever writes them is.
  const [chunks] = await Promise.all([chunksOf(readable), written]);
  const all = new Uint8Array(chunks.reduce((sum, chunk) => sum + chunk.length, 0));
  let at = 0;
  for (const chunk of chunks) {
    all.set(chunk, at);
    at += chunk.length;
  }
  return all;
}

async function chunksOf(readable: ReadableStream<Uint8Array>): Promise<readonly Uint8Array[]> {
  const chunks: Uint8Array[] = [];
  for (const reader = readable.getReader(); ; ) {
    const { done, value } = await reader.read();
    if (done) return chunks;
    chunks.push(value);
  }
}
