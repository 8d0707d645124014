import { closeSync, openSync, writeSync } from 'node:fs';
import { seededRandom } from '../../scripts/simulate/random.ts';

const HEADER = 'time_us,gyro_x_dps,gyro_y_dps,gyro_z_dps,accel_x_g,accel_y_g,accel_z_g';

/** A sound row of number i, without line end. */
function row(i: number): string {
  const swing = (300 * Math.sin(i / 90)).toFixed(2);
  return `${i * 1000},0.5,${swing},-0.25,0.01,-0.02,0.99${i % 10}`;
}

/** Gives pieces of a log until it is told that there are enough bytes. */
type Pieces = (random: () => number, bytes: number) => Iterable<string | Uint8Array>;

function* rows(of: (i: number) => string): Iterable<string> {
  for (let i = 0; ; i += 1000) {
    let text = '';
    for (let k = i; k < i + 1000; ++k) text += `${of(k)}\n`;
    yield text;
  }
}

function* after(first: string, rest: Iterable<string | Uint8Array>): Iterable<string | Uint8Array> {
  yield first;
  yield* rest;
}

/** Logs that tempt a reader into endless work or memory: each is as long as wanted. */
export const HOSTILE: Readonly<Record<string, Pieces>> = {
  'as it should be': () => after(`${HEADER}\n`, rows(row)),
  'transposed: a line for each channel': function* (_random, bytes) {
    const samples = Math.floor(bytes / 7 / 8);
    for (const name of HEADER.split(',')) {
      yield name;
      for (let i = 0; i < samples; i += 1000) {
        const cells = Array.from({ length: 1000 }, (_, k) =>
          name === 'time_us' ? (i + k) * 1000 : (Math.sin((i + k) / 90) * 100).toFixed(2),
        );
        yield `,${cells.join(',')}`;
      }
      yield '\n';
    }
  },
  'a quote that is never closed': () =>
    after(
      `${HEADER}\n${row(0)}\n${row(1).replace('0.5', '"0.5')}\n`,
      rows((i) => row(i + 2)),
    ),
  'a quote that is never closed in every hundredth row': () =>
    after(
      `${HEADER}\n`,
      rows((i) => (i % 100 === 50 ? row(i).replace('0.5', '"0.5') : row(i))),
    ),
  'millions of short rows': () =>
    after(
      't,gx,gy,gz,ax,ay,az\n',
      rows((i) => `${i},0,1,0,0,0,${i % 9}`),
    ),
  'numbers of 300 digits': () =>
    after(
      `${HEADER}\n`,
      rows((i) => row(i).replace('0.5', `0.${'123456789'.repeat(33)}`)),
    ),
  'numbers beyond all numbers': () =>
    after(
      `${HEADER}\n`,
      rows((i) => row(i).replace('-0.25', '1e400')),
    ),
  'a press in every other row': () =>
    after(
      `${HEADER},power_button\n`,
      rows((i) => `${row(i)},${i % 2}`),
    ),
  'another label in every row': () =>
    after(
      `${HEADER},label\n`,
      rows((i) => `${row(i)},part ${i}`),
    ),
  'one line without an end': () => repeat('1.5,2.5,3.5,'),
  'one word without an end': () => repeat('abcdefghij'),
  'blank lines': () => after(`${HEADER}\n${row(0)}\n`, repeat('\n\n\n\n\n\n\n\n\n\n')),
  comments: () => after(`${HEADER}\n`, repeat('# note note note note note\n')),
  'rows of other lengths': () =>
    after(
      `${HEADER}\n`,
      rows((i) =>
        row(i)
          .split(',')
          .slice(0, 1 + (i % 7))
          .join(','),
      ),
    ),
  'all cells quoted': () =>
    after(
      `${HEADER}\n`,
      rows((i) => `"${row(i).replaceAll(',', '","')}"`),
    ),
  'stamps that fall': () =>
    after(
      `${HEADER}\n`,
      rows((i) => row(i).replace(/^\d+/, String(1e12 - i * 1000))),
    ),
  'stamps at random': (random) =>
    after(
      `${HEADER}\n`,
      rows((i) => row(i).replace(/^\d+/, String(Math.floor(random() * 1e12)))),
    ),
  'the same stamp in every row': () =>
    after(
      `${HEADER}\n`,
      rows((i) => row(i).replace(/^\d+/, '5')),
    ),
  'a gap behind every row': () =>
    after(
      `${HEADER}\n`,
      rows((i) => row(i).replace(/^\d+/, String(i * 1e7))),
    ),
  'four thousand columns': () =>
    after(
      `${Array.from({ length: 4000 }, (_, i) => `c${i}`).join(',')}\n`,
      rows(() => new Array(4000).fill('1').join(',')),
    ),
  'JSON lines': () =>
    rows((i) => JSON.stringify({ t: i * 1000, gx: 0.5, gy: Math.sin(i / 90), gz: 0, ax: 0, ay: 0, az: 1 })),
  'words beside numbers': () =>
    rows(
      (i) =>
        `t: ${i} ms gyro: 0.5 ${Math.sin(i).toFixed(3)} 0.1 accel: 0.01 0.02 ${(1 + i / 1e9).toFixed(3)}`,
    ),
  zeros: () => repeat(new Uint8Array(100_000)),
  'bytes at random': function* (random) {
    for (;;) yield Uint8Array.from({ length: 65_536 }, () => random() * 256);
  },
  'text in 16 bits': function* () {
    yield Buffer.from(`\uFEFF${HEADER}\n`, 'utf16le');
    for (const piece of rows(row)) yield Buffer.from(piece, 'utf16le');
  },
};

function* repeat<T extends string | Uint8Array>(piece: T): Iterable<T | string> {
  const many = typeof piece === 'string' ? piece.repeat(1000) : piece;
  for (;;) yield many;
}

/** Writes a hostile log of so many bytes, or a little more. @throws RangeError  where there is none of this name */
export function writeHostile(name: string, path: string, bytes: number, seed = 1): void {
  const pieces = HOSTILE[name];
  if (!pieces) throw new RangeError(`there is no hostile log "${name}"`);
  const file = openSync(path, 'w');
  let written = 0;
  for (const piece of pieces(seededRandom(seed), bytes)) {
    written += typeof piece === 'string' ? writeSync(file, piece) : writeSync(file, piece);
    if (written >= bytes) break;
  }
  closeSync(file);
}
