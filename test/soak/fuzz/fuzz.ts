import fc from 'fast-check';
import { soakNumber } from '../soakNumber.ts';

/** The same each time, unless `npm run soak` says another. */
const SEED = soakNumber('SEED', 16);
/** So long each property is tried on demand; by default it is tried a number of times. */
const SECONDS = Number(process.env.SOAK_FUZZ_SECONDS ?? 0);

/** How long a test may take that tries a property: as long as that is tried, and a while for what it is in by then. */
export const FUZZ_TIMEOUT = { timeout: SECONDS * 1000 + 300_000 };

/**
 * Tries a property on what comes at random by a seed; where it fails, the failure holds the seed and the smallest case.
 * @param runs  how often by default
 */
export async function fuzz<T>(
  name: string,
  arbitrary: fc.Arbitrary<T>,
  runs: number,
  property: (value: T) => Promise<void> | void,
): Promise<void> {
  let tried = 0;
  await fc.assert(
    fc.asyncProperty(arbitrary, async (value) => {
      ++tried;
      await property(value);
    }),
    SECONDS > 0
      ? { seed: SEED, numRuns: 1e9, interruptAfterTimeLimit: SECONDS * 1000, markInterruptAsFailure: false }
      : { seed: SEED, numRuns: runs },
  );
  if (SECONDS > 0) console.log(`${name}: ${tried} tried in ${SECONDS} s, seed ${SEED}`);
}

/** Bytes of something sound with a few things done to them, as disks, cables and editors do. */
export function mutated(sound: readonly Uint8Array[]): fc.Arbitrary<Buffer> {
  const place = fc.double({ min: 0, max: 1, noNaN: true });
  const edit = fc.oneof(
    fc.record({ kind: fc.constant('flip' as const), at: place, bit: fc.nat(7) }),
    fc.record({ kind: fc.constant('cut' as const), at: place, length: fc.nat(200) }),
    fc.record({ kind: fc.constant('twice' as const), at: place, length: fc.nat(2000) }),
    fc.record({ kind: fc.constant('insert' as const), at: place, text: fc.constantFrom(...ODD) }),
    fc.record({ kind: fc.constant('replace' as const), at: place, text: fc.constantFrom(...ODD) }),
    fc.record({ kind: fc.constant('end' as const), at: place }),
  );
  return fc
    .tuple(fc.constantFrom(...sound), fc.array(edit, { maxLength: 8 }))
    .map(([bytes, edits]) => edits.reduce<Buffer>((before, one) => applied(before, one), Buffer.from(bytes)));
}

const ODD = [
  ...[
    '"',
    '""',
    ',',
    ';',
    '\t',
    '\n',
    '\r',
    '\r\n',
    '\n\n',
    '\0',
    '\uFEFF',
    '#',
    '-',
    '.',
    ' ',
    'nan',
    'NaN',
  ],
  ...[
    'inf',
    '-inf',
    '1e400',
    '1e200',
    '-1e-400',
    '0x10',
    '1,5',
    "1'000",
    '1_000',
    '--1',
    '+',
    '١٢',
    '𝟙',
    'é',
    '\xff',
  ],
  ...[
    'null',
    'true',
    '{}',
    '[]',
    '{"a":',
    '-0',
    '9'.repeat(400),
    '0.'.repeat(50),
    '1e',
    '12:00:00',
    '2026-02-30T25:61:61Z',
  ],
];

type Edit =
  | { readonly kind: 'flip'; readonly at: number; readonly bit: number }
  | { readonly kind: 'cut' | 'twice'; readonly at: number; readonly length: number }
  | { readonly kind: 'insert' | 'replace'; readonly at: number; readonly text: string }
  | { readonly kind: 'end'; readonly at: number };

function applied(bytes: Buffer, edit: Edit): Buffer {
  const at = Math.min(bytes.length, Math.floor(edit.at * bytes.length));
  const [before, rest] = [bytes.subarray(0, at), bytes.subarray(at)];
  switch (edit.kind) {
    case 'flip': {
      const copy = Buffer.from(bytes);
      if (at < copy.length) copy[at]! ^= 1 << edit.bit;
      return copy;
    }
    case 'cut':
      return Buffer.concat([before, rest.subarray(edit.length)]);
    case 'twice':
      return Buffer.concat([before, rest.subarray(0, edit.length), rest]);
    case 'insert':
      return Buffer.concat([before, Buffer.from(edit.text), rest]);
    case 'replace':
      return Buffer.concat([before, Buffer.from(edit.text), rest.subarray(edit.text.length)]);
    case 'end':
      return Buffer.from(before);
  }
}
