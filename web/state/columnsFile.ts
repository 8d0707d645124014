import type { MotionLog } from '../../server/engine/log.ts';

const MAGIC = 'MOULCOL1';

interface Header {
  readonly rows: number;
  readonly columns: readonly string[];
}

/**
 * Columns of a take from the bytes that the server sends: views on the buffer, no copies.
 * @throws Error  if the bytes are not what this page reads (another version of the server).
 */
export function parseColumns(buffer: ArrayBuffer): { log: MotionLog; saturated: Uint8Array } {
  const bytes = new Uint8Array(buffer);
  if (new TextDecoder().decode(bytes.subarray(0, 8)) !== MAGIC) {
    throw new Error('The server sent columns that this page does not read. Reload the page.');
  }
  const headerLength = new DataView(buffer).getUint32(8, true);
  const header: Header = JSON.parse(new TextDecoder().decode(bytes.subarray(12, 12 + headerLength)));
  let offset = Math.ceil((12 + headerLength) / 8) * 8;
  const columns = new Map<string, Float64Array>();
  for (const name of header.columns) {
    columns.set(name, new Float64Array(buffer, offset, header.rows));
    offset += header.rows * 8;
  }
  const column = (name: keyof MotionLog): Float64Array => {
    const found = columns.get(name);
    if (!found) throw new Error(`The server sent no column ${name}. Reload the page.`);
    return found;
  };
  return {
    log: {
      timeUs: column('timeUs'),
      gyroXDps: column('gyroXDps'),
      gyroYDps: column('gyroYDps'),
      gyroZDps: column('gyroZDps'),
      accelXG: column('accelXG'),
      accelYG: column('accelYG'),
      accelZG: column('accelZG'),
    },
    saturated: new Uint8Array(buffer, offset, header.rows),
  };
}
