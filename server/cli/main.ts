import { run as runData } from './data.ts';
import { run as runEvaluate } from './evaluate.ts';
import { run as runExport } from './export.ts';
import { fileTrouble } from './fileTrouble.ts';
import { run as runGate } from './gate.ts';
import { run as runInspect } from './inspect.ts';
import { EXIT_MISUSE } from './io.ts';
import { run as runReceive } from './receive.ts';
import { run as runRecord } from './record/record.ts';
import { run as runShare } from './share.ts';

const PROGRAMS: Readonly<Record<string, typeof runInspect>> = {
  inspect: runInspect,
  evaluate: runEvaluate,
  export: runExport,
  gate: runGate,
  data: runData,
  share: runShare,
  receive: runReceive,
  record: runRecord,
};

// A reader that has seen enough, such as `head`, closes the pipe; a file that takes no more is told of.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit();
  process.stderr.write(`${fileTrouble('standard output', error, 'written').message}\n`);
  process.exit(EXIT_MISUSE);
});

const [name = '', ...argv] = process.argv.slice(2);
const program = Object.hasOwn(PROGRAMS, name) ? PROGRAMS[name]! : null;
if (program) process.exitCode = await program(argv, process);
else {
  process.stderr.write(`there is no program "${name}", only ${Object.keys(PROGRAMS).join(', ')}\n`);
  process.exitCode = EXIT_MISUSE;
}
