/** The buffers of all arrays in a value, which may be handed over to another thread. */
export function buffersIn(value: unknown): ArrayBuffer[] {
  if (ArrayBuffer.isView(value)) return buffersIn(value.buffer);
  // Shared memory is not handed over: both sides see it.
  if (value instanceof ArrayBuffer) return [value];
  return typeof value === 'object' && value !== null ? Object.values(value).flatMap(buffersIn) : [];
}
