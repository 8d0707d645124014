/** Values by key. Those used least recently go first once the arrays of all together hold too much; the newest stays. */
export class ByteCache<Value extends object> {
  private readonly entries = new Map<string, { readonly value: Value; readonly bytes: number }>();
  private readonly mostBytes: number;
  private bytes = 0;

  constructor(mostBytes: number) {
    this.mostBytes = mostBytes;
  }

  keys(): string[] {
    return [...this.entries.keys()];
  }

  get(key: string): Value | undefined {
    const entry = this.entries.get(key);
    if (!entry) return undefined;
    this.entries.delete(key);
    this.entries.set(key, entry);
    return entry.value;
  }

  set(key: string, value: Value): void {
    this.drop(key);
    const bytes = bytesOf(value);
    this.entries.set(key, { value, bytes });
    this.bytes += bytes;
    for (const oldest of this.entries.keys()) {
      if (this.bytes <= this.mostBytes || this.entries.size === 1) return;
      this.drop(oldest);
    }
  }

  private drop(key: string): void {
    this.bytes -= this.entries.get(key)?.bytes ?? 0;
    this.entries.delete(key);
  }
}

/** Bytes of an object's arrays; a buffer that several of them share counts once. */
function bytesOf(value: object): number {
  const buffers = new Set<ArrayBufferLike>();
  for (const part of Object.values(value)) if (ArrayBuffer.isView(part)) buffers.add(part.buffer);
  return [...buffers].reduce((sum, { byteLength }) => sum + byteLength, 0);
}
