import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';

/** A folder that goes away with the test. */
export function temporaryFolder(): string {
  const { folder, remove } = makeFolder();
  onTestFinished(remove);
  return folder;
}

/** A folder for several tests, which their owner removes. */
export function makeFolder(): { readonly folder: string; readonly remove: () => void } {
  const folder = mkdtempSync(join(tmpdir(), 'moulinet-test-'));
  return { folder, remove: () => rmSync(folder, { recursive: true, force: true }) };
}
