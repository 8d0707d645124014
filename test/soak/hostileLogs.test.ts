import { spawnSync } from 'node:child_process';
import { statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { WorkbenchError } from '../../server/errors.ts';
import { inlineIngest } from '../../server/store/ingestTasks.ts';
import { READER_LIMITS } from '../../server/store/readerThread.ts';
import { bundleForNode } from '../store/bundle.ts';
import { temporaryFolder } from '../store/temporaryFolder.ts';
import { HOSTILE, writeHostile } from './hostileLogs.ts';

const BYTES = 400_000;
const NAMES = Object.keys(HOSTILE);

/** What is made of each: it is read, something is asked, or it is refused with these words. */
const ENDS: Readonly<Record<string, string>> = {
  'as it should be': 'read',
  'transposed: a line for each channel': 'lies on its side',
  'a quote that is never closed': 'read',
  'a quote that is never closed in every hundredth row': 'read',
  'numbers of 300 digits': 'read',
  'a press in every other row': 'read',
  'another label in every row': 'read',
  'one line without an end': 'columns, and at most',
  'one word without an end': 'no motion log',
  comments: 'no rows',
  'all cells quoted': 'read',
  'a gap behind every row': 'read',
  'JSON lines': 'read',
  'words beside numbers': 'no column looks like',
  zeros: 'nothing but zero bytes',
  'bytes at random': 'no text file',
  'text in 16 bits': 'read',
};

describe('a hostile log is read, asked about, or refused in words', () => {
  test.each(NAMES)('%s', async (name) => {
    const path = join(temporaryFolder(), 'log.csv');
    writeHostile(name, path, BYTES);
    expect(await endOf(path)).toContain(ENDS[name] ?? 'asks');
  });
});

/** The bounds of a log of 100 MB, which a busy machine holds no other program to: on demand only. */
const LARGE = Number(process.env.SOAK_LARGE_LOGS ?? 0);
const LONGEST_S = 10;
const FIXED_BYTES = 64e6;
/** A young generation is three half spaces. The thread that reads has as little of it as this. */
const HALF_SPACE_MB = READER_LIMITS.maxYoungGenerationSizeMb / 3;
/** A time, six values and whether any is at its end: eight bytes each but for the last. */
const ROW_BYTES = 57;

if (LARGE > 0)
  describe('a hostile log of 100 MB is done with within its bounds', () => {
    test.each(NAMES)('%s', { timeout: 600_000 }, async (name) => {
      const folder = temporaryFolder();
      const child = fileURLToPath(new URL('./hostileChild.ts', import.meta.url));
      const script = await bundleForNode(child, folder);
      const path = join(folder, 'log.csv');
      writeHostile(name, path, LARGE * 1e6);
      const args = [`--max-semi-space-size=${HALF_SPACE_MB}`, script, path, folder];
      const { stdout, stderr, signal } = spawnSync(process.execPath, args, {
        encoding: 'utf8',
        timeout: 300_000,
      });
      expect([stderr, signal]).toEqual(['', null]);
      const { outcome, rows, seconds, addedBytes } = JSON.parse(stdout);
      const [size, added] = [statSync(path).size, addedBytes].map((bytes) => Math.round(bytes / 1e6));
      const columns = Math.round((rows * ROW_BYTES) / 1e6);
      console.log(
        `${name}: ${size} MB, ${seconds.toFixed(1)} s, ${added} MB added for ${columns} MB, ${outcome}`,
      );
      expect(outcome).toMatch(/^(read|asks|LOG_FORMAT|MAPPING)/);
      expect(seconds).toBeLessThan((LONGEST_S * LARGE) / 100);
      expect(addedBytes).toBeLessThan(1.5 * rows * ROW_BYTES + FIXED_BYTES);
    });
  });

async function endOf(path: string): Promise<string> {
  const sources = [{ name: 'log.csv', path, sizeBytes: statSync(path).size, sha256: path }];
  const ingest = inlineIngest();
  try {
    const { report, needs, mapping } = await ingest.preview({ sources, overrides: {} }, {});
    if (report === null) return `asks: ${needs.join(' ')}`;
    const columnsPath = join(temporaryFolder(), 'columns.bin');
    await ingest.read({ sources, mapping, columnsPath, columnsKey: 'k' }, {});
    return 'read';
  } catch (error) {
    if (error instanceof WorkbenchError) return error.message;
    throw error;
  }
}
