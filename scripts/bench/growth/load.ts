import { loadavg } from 'node:os';

/** Of the last minute. */
export function load(): string {
  return loadavg()[0]!.toFixed(1);
}
