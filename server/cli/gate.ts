import { buildTimeBase } from '../engine/base/timeBase.ts';
import { assumesMount } from '../engine/check/checkSignals.ts';
import { computeMotion } from '../engine/motion/motion.ts';
import { computeSignals } from '../engine/motion/signals.ts';
import { evaluate } from '../engine/score/evaluate.ts';
import type { GuardScore } from '../engine/score/guardScore.ts';
import type { Candidate } from '../engine/settings/candidate.ts';
import { DEFAULT_CANDIDATE } from '../engine/settings/candidateRules.ts';
import { assumedMountText } from '../engine/words/mount.ts';
import { readCandidate } from './candidateInput.ts';
import { readCalibration } from './evaluateArgs.ts';
import { tellFailure } from './failure.ts';
import { type FolderTake, type FolderTakeRead, folderTakes } from './folderTakes.ts';
import { parseStrictly } from './inspectArgs.ts';
import { checkRead } from './inspectCheck.ts';
import { EXIT_DATA, EXIT_FINE, type Io, UsageError } from './io.ts';
import { junitXml, type TestCase } from './junit.ts';
import { isOfTake } from './ofTake.ts';
import { writeOutput } from './outputFile.ts';
import { refuseOutput } from './refuseOutput.ts';

const HELP = `Usage: gate --takes FOLDER --max-slips N --max-refused N [options]

Says whether a setting still does well enough on all takes of a folder, for continuous integration.

  --takes FOLDER       a workspace, or a folder of logs with labels beside each: NAME.labels.json, NAME.labels.csv or
                       NAME.truth.json
  --setting FILE       the setting, as the page exports it (the workbench's defaults without it)
  --max-slips N        as many stray presses may be let through, of all takes together
  --max-refused N      as many wanted presses may be refused, of all takes together
  --junit FILE         writes the results as JUnit XML
  --mount tip=+x,side=+y   of logs in a plain folder: which sensor axes point to the tip and to the side
  --lever-arm M        of logs in a plain folder: from the turning point to the sensor, in metres
  --accept-unfit       takes count though the signal check finds them not fit to tune on
  --accept-unjudged    takes that cannot be judged do not fail the gate, as long as one can
  --help               this text

A take cannot be judged where it cannot be read, has no labelled press, has labels that do not all fit it, or is not fit to
tune on: the gate fails then.

Exit code: 0 all within the limits, 1 not, 2 the command makes no sense or a file cannot be opened or written.
`;

const OPTIONS = {
  takes: { type: 'string' },
  setting: { type: 'string' },
  'max-slips': { type: 'string' },
  'max-refused': { type: 'string' },
  junit: { type: 'string' },
  mount: { type: 'string' },
  'lever-arm': { type: 'string' },
  'accept-unfit': { type: 'boolean' },
  'accept-unjudged': { type: 'boolean' },
  help: { type: 'boolean', short: 'h' },
} as const;

interface Scored {
  readonly score: GuardScore;
  /** Nobody said which way its blade points, and its swings do not prove what is taken. */
  readonly isMountAssumed: boolean;
}

/** What a take came to, or why it cannot be judged. */
type Judged =
  | ({ readonly name: string; readonly why: null } & Scored)
  | { readonly name: string; readonly score: null; readonly why: string };

/** Runs `gate`; returns the exit code. */
export async function run(argv: string[], io: Io): Promise<number> {
  try {
    const { values } = parseStrictly({ args: argv, allowPositionals: false, options: OPTIONS });
    if (values.help) {
      io.stdout.write(HELP);
      return EXIT_FINE;
    }
    if (values.takes === undefined) throw new UsageError('--takes is missing: name the folder of takes');
    const limits = {
      slips: readLimit('--max-slips', values['max-slips']),
      refused: readLimit('--max-refused', values['max-refused']),
    };
    const candidate = values.setting === undefined ? DEFAULT_CANDIDATE : readCandidate(values.setting);
    const calibration = readCalibration(values);
    const takes = folderTakes(values.takes, {
      calibration: values['lever-arm'] === undefined ? null : calibration,
      mount: values.mount === undefined ? null : calibration.mount,
    });
    const settings = values.setting === undefined ? [] : [values.setting];
    const inputs = [...settings, ...takes.flatMap((take) => take.files())];
    const junit = values.junit === undefined ? null : { option: '--junit', path: values.junit, inputs };
    if (junit !== null) await refuseOutput(junit);
    const judged: Judged[] = [];
    for (const take of takes) judged.push(await judge(take, candidate, values['accept-unfit'] === true));
    const cases = casesOf(judged, limits, values['accept-unjudged'] === true);
    if (junit !== null) await writeOutput(junit, [junitXml('gate', cases)]);
    io.stdout.write(table(judged, cases));
    return cases.some(({ failure }) => failure !== null) ? EXIT_DATA : EXIT_FINE;
  } catch (error) {
    return tellFailure(error, 'gate', argv, io);
  }
}

async function judge(take: FolderTake, candidate: Candidate, acceptUnfit: boolean): Promise<Judged> {
  const { name } = take;
  try {
    const scored = scoreOf(await take.read(), candidate, acceptUnfit);
    return typeof scored === 'string' ? { name, score: null, why: scored } : { name, ...scored, why: null };
  } catch (error) {
    if (!isOfTake(error)) throw error;
    return { name, score: null, why: error.message };
  }
}

function scoreOf(input: FolderTakeRead, candidate: Candidate, acceptUnfit: boolean): Scored | string {
  const { take, labels, calibration, presses } = input;
  const { uniform } = buildTimeBase(take.log, take.saturated);
  const motion = computeMotion(uniform, calibration);
  const signals = computeSignals(motion, candidate, take.presses, input.deflectionPresses);
  const { guardScore } = evaluate(signals, presses, labels, candidate, motion);
  const { falseAccepts, falseRejects, unknown } = guardScore;
  if (unknown > 0)
    return `${unknown} of its labelled presses have no motion data at the moment that is judged`;
  if (falseAccepts.n + falseRejects.n === 0) return 'no press in it is labelled wanted or stray';
  const check = checkRead(take, uniform, motion, input.stated);
  if (check.verdict === 'unfit' && !acceptUnfit && !input.useUnfit)
    return 'its signals are not fit to tune on (see inspect --check)';
  return { score: guardScore, isMountAssumed: assumesMount(check) };
}

function casesOf(
  judged: readonly Judged[],
  limits: { readonly slips: number; readonly refused: number },
  acceptUnjudged: boolean,
): TestCase[] {
  const sum = (of: (score: GuardScore) => { readonly k: number; readonly n: number }, key: 'k' | 'n') =>
    judged.reduce((total, { score }) => total + (score === null ? 0 : of(score)[key]), 0);
  const limit = (
    name: string,
    of: (score: GuardScore) => { readonly k: number; readonly n: number },
    most: number,
  ): TestCase => {
    const [k, n] = [sum(of, 'k'), sum(of, 'n')];
    const failure =
      n === 0
        ? `no press of this kind is labelled`
        : k > most
          ? `${k} of ${n}, at most ${most} may be`
          : null;
    return { name, failure };
  };
  return [
    limit('stray presses let through', (score) => score.falseAccepts, limits.slips),
    limit('wanted presses refused', (score) => score.falseRejects, limits.refused),
    ...judged.map(({ name, why }) => ({
      name: `${name} can be judged`,
      failure: why === null || acceptUnjudged ? null : why,
    })),
  ];
}

function table(judged: readonly Judged[], cases: readonly TestCase[]): string {
  const rows = judged.map(({ name, ...one }) =>
    one.score === null
      ? [name, '-', '-', `not judged: ${one.why}`]
      : [
          name,
          ratio(one.score.falseAccepts),
          ratio(one.score.falseRejects),
          one.isMountAssumed ? 'mount assumed' : '',
        ],
  );
  const all = [['take', 'slips', 'refused', ''], ...rows];
  const widths = [0, 1, 2].map((k) => Math.max(...all.map((row) => row[k]!.length)));
  const lines = all.map((row) =>
    [row[0]!.padEnd(widths[0]!), row[1]!.padStart(widths[1]!), row[2]!.padStart(widths[2]!), row[3]!]
      .join('  ')
      .trimEnd(),
  );
  const failed = cases.filter(({ failure }) => failure !== null);
  const scored = judged.filter((one) => one.score !== null);
  const assumed = assumedMountText(
    scored.filter(({ isMountAssumed }) => isMountAssumed).length,
    scored.length,
    'Say which way the blade points: with --mount for logs in a plain folder, in Signal check for a workspace.',
  );
  const doubts = assumed === '' ? [] : [assumed];
  const passed = assumed === '' ? 'Passed.' : 'Passed, as far as the assumed mount is right.';
  const end =
    failed.length === 0 ? [passed] : failed.map(({ name, failure }) => `Failed: ${name}: ${failure}.`);
  return `${[...lines, '', ...doubts, ...end].join('\n')}\n`;
}

function ratio({ k, n }: { readonly k: number; readonly n: number }): string {
  return `${k} of ${n}`;
}

function readLimit(option: string, text: string | undefined): number {
  if (text === undefined) throw new UsageError(`${option} is missing: say how many may be`);
  if (/^\d{1,9}$/.test(text)) return Number(text);
  throw new UsageError(`${option} must be a whole number from 0 on, got "${text}"`);
}
