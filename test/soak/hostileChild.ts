/** Previews a log and reads it as a take, and says how long that took and what it took. Arguments: the log, a folder. */
import { readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { inlineIngest } from '../../server/store/ingestTasks.ts';

const [path = '', folder = ''] = process.argv.slice(2);
const sources = [{ name: 'log.csv', path, sizeBytes: statSync(path).size, sha256: '0'.repeat(64) }];
const ingest = inlineIngest();
const beforeBytes = process.memoryUsage().rss;
const beforeMs = performance.now();
let outcome: string;
let rows = 0;
try {
  const { report, needs, mapping } = await ingest.preview({ sources, overrides: {} }, {});
  outcome = report ? 'read' : `asks: ${needs.join(' ')}`;
  if (report) {
    const task = { sources, mapping, columnsPath: join(folder, 'columns.bin'), columnsKey: 'k' };
    ({
      report: { rows },
    } = await ingest.read(task, {}));
  }
} catch (error) {
  outcome = `${(error as { code?: string }).code ?? (error as Error).stack}: ${(error as Error).message}`;
}
const seconds = (performance.now() - beforeMs) / 1000;
const peakBytes = peakMemory();
process.stdout.write(JSON.stringify({ outcome, rows, seconds, addedBytes: peakBytes - beforeBytes }));

/** Of this program alone; what the system counts with `getrusage` begins with that of the process before it. */
function peakMemory(): number {
  try {
    return 1024 * Number(/VmHWM:\s+(\d+)/.exec(readFileSync('/proc/self/status', 'utf8'))?.[1]);
  } catch {
    return process.resourceUsage().maxRSS * 1024;
  }
}
