/** Replaces one document again and again until it is killed; in many parts, so that a kill falls between two. */
import { writeAtomic } from '../../server/store/atomicFile.ts';

const path = process.argv[2]!;
const PARTS = 200;
const PART_BYTES = 10_000;

for (let revision = 1; ; ++revision) {
  const part = Buffer.alloc(PART_BYTES, String(revision % 10));
  await writeAtomic(path, new Array<Uint8Array>(PARTS).fill(part));
  process.stdout.write('.');
}
