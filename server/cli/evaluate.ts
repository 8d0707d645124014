import {
  buttonsOf,
  deflectionButtonOf,
  deflectionPressesOf,
  powerPressesOf,
  type TakeButtons,
} from '../engine/base/buttons.ts';
import type { Press } from '../engine/base/log.ts';
import { buildTimeBase } from '../engine/base/timeBase.ts';
import type { Calibration } from '../engine/calibrate/calibration.ts';
import type { CheckInput } from '../engine/check/input.ts';
import { scoreMotion } from '../engine/choose/motion/motionScore.ts';
import { motionUnits } from '../engine/choose/motion/motionUnits.ts';
import { findCause } from '../engine/device/findCause.ts';
import { EMPTY_LABELS } from '../engine/labels/labels.ts';
import { computeMotion } from '../engine/motion/motion.ts';
import { computeSignals } from '../engine/motion/signals.ts';
import { evaluate } from '../engine/score/evaluate.ts';
import type { Candidate } from '../engine/settings/candidate.ts';
import { DEFAULT_CANDIDATE } from '../engine/settings/candidateRules.ts';
import type { ImportedLabels } from '../engine/words/labelFile.ts';
import type { Mapping, ReadTake } from '../ingest/ground/types.ts';
import { likelyPowerButton } from '../ingest/roles/tracks.ts';
import { readCandidate } from './candidateInput.ts';
import { writeChannels } from './channelsFile.ts';
import { readCalibration, readPatience } from './evaluateArgs.ts';
import { describeEvaluation, type EvaluatedTake, toDocument } from './evaluateText.ts';
import { tellFailure } from './failure.ts';
import type { NamedSource } from './fileSource.ts';
import { parseStrictly, READ_HELP, READ_OPTIONS, type ReadOptions, readOptions } from './inspectArgs.ts';
import { checkRead } from './inspectCheck.ts';
import { neededOf } from './inspectText.ts';
import { DataError, EXIT_DATA, EXIT_FINE, type Io, UsageError } from './io.ts';
import { readLabels } from './labelsFile.ts';
import { openFile } from './openFile.ts';
import { refuseOutput } from './refuseOutput.ts';
import { type ReadFile, rolesCommand } from './rolesCommand.ts';
import { groupFiles, previewFiles, readPreviewed, type TakeFiles } from './takeFiles.ts';

const HELP = `Usage: evaluate FILE... [options]

Says what a prop with one candidate setting would have done over a take: every event with its reason, and scores.
Of a log with the prop's own decisions it says how many are the bench's, and looks for the cause of those that are not.
Several files must be the two halves of one take (acceleration and angular rate).

  --candidate FILE     settings as the page exports them (the workbench's defaults without it)
  --labels FILE        labels as JSON or CSV: which presses were wanted or stray, spans, swings, gestures
  --power-button NAME  the button that the guard judges (else the first with "power" in its name, else the first)
  --deflection-button NAME  the button that deflections wait for, if the setting says so (else one whose name speaks of it,
                       else the only one besides the power button)
  --patience MS        how long after a stop a press is wanted, where spins and stops alone are judged, 50 to 900 (300)
  --lever-arm M        from the turning point to the sensor, toward the tip, in metres, -2 to 2 (0)
  --blade-length M     from the turning point to the tip, in metres, 0.1 to 3 (0.85): for the tip's speed
  --mount tip=+x,side=+y   which sensor axes point to the tip and to the side
  --accept-unfit       ends with code 0 though the signal check finds the take not fit to tune on
  --channels OUT.csv   writes the derived channels to a file of its own: none that the command reads
${READ_HELP}  --json               one JSON document
  --help               this text

Exit code: 0 fine, 1 what a file holds cannot be used, something must be stated first or the signal check finds the take
not fit (all is written all the same), 2 the command makes no sense or a file cannot be opened or written. With --json an error is a JSON document too: {"error": {"code", "message", ...}}.
`;

const OPTIONS = {
  ...READ_OPTIONS,
  candidate: { type: 'string' },
  labels: { type: 'string' },
  'power-button': { type: 'string' },
  'deflection-button': { type: 'string' },
  patience: { type: 'string' },
  'lever-arm': { type: 'string' },
  'blade-length': { type: 'string' },
  mount: { type: 'string' },
  'accept-unfit': { type: 'boolean' },
  channels: { type: 'string' },
  json: { type: 'boolean' },
  help: { type: 'boolean', short: 'h' },
} as const;

/** What a prop may run that was never set. */
const DEFAULTS = { name: "the workbench's default setting", candidate: DEFAULT_CANDIDATE };
const UNLABELLED: ImportedLabels = { labels: EMPTY_LABELS, leftOut: null };

/** Runs `evaluate`; returns the exit code. */
export async function run(argv: string[], io: Io): Promise<number> {
  try {
    const { values, positionals } = parseStrictly({ args: argv, allowPositionals: true, options: OPTIONS });
    if (values.help) {
      io.stdout.write(HELP);
      return EXIT_FINE;
    }
    if (positionals.length === 0) throw new UsageError('no file was given');
    const options = readOptions(values);
    const calibration = readCalibration(values);
    const patienceMs = readPatience(values.patience);
    const candidate = values.candidate === undefined ? DEFAULT_CANDIDATE : readCandidate(values.candidate);
    const sources = positionals.map(openFile);
    const others = [values.candidate, values.labels].filter((path) => path !== undefined);
    const channels =
      values.channels === undefined
        ? null
        : { option: '--channels', path: values.channels, inputs: [...positionals, ...others] };
    if (channels !== null) await refuseOutput(channels);
    const { take, mapping } = await readFiles(sources, options, argv);
    const mount = values.mount === undefined ? null : calibration.mount;
    const isCalibrated = values['lever-arm'] !== undefined;
    const stated = { calibration: isCalibrated ? calibration : null, mount };
    const evaluated = evaluateTake(
      take,
      mapping,
      candidate,
      calibration,
      stated,
      values.labels,
      { power: values['power-button'], deflection: values['deflection-button'] },
      patienceMs,
    );
    const names = sources.map(({ name }) => name);
    if (channels !== null) {
      const { motion, evaluation } = evaluated;
      await writeChannels(channels, motion, evaluation.signals, evaluation.closed, calibration.bladeLengthM);
    }
    if (values.json) io.stdout.write(`${JSON.stringify(toDocument(names, evaluated), null, 2)}\n`);
    else io.stdout.write(describeEvaluation(names, evaluated));
    return evaluated.check.verdict === 'unfit' && !values['accept-unfit'] ? EXIT_DATA : EXIT_FINE;
  } catch (error) {
    return tellFailure(error, 'evaluate', argv, io);
  }
}

async function readFiles(
  sources: readonly NamedSource[],
  options: ReadOptions,
  argv: readonly string[],
): Promise<{ readonly take: ReadTake; readonly mapping: Mapping }> {
  const takes = await groupFiles(sources, options);
  if (takes.length !== 1) throw new UsageError(await whySeveral(takes, options, argv));
  const previewed = await previewFiles(takes[0]!, options);
  const { mapping } = previewed.preview;
  const needs = neededOf(previewed.preview);
  if (needs.length > 0) {
    const command = await rolesCommand('evaluate', argv, [{ sources, mapping }]);
    throw new DataError(
      'NEEDS',
      [...needs, ...(command === null ? [] : [`for example: ${command}`])].join('\n'),
    );
  }
  return { take: await readPreviewed(takes[0]!, previewed), mapping };
}

/** Files that do not tell what they hold may be one take all the same. */
async function whySeveral(
  takes: readonly TakeFiles[],
  options: ReadOptions,
  argv: readonly string[],
): Promise<string> {
  const several = 'the files are several takes: give one at a time';
  const read: ReadFile[] = [];
  for (const take of takes) {
    const preview = (await previewFiles(take, options).catch(() => null))?.preview;
    if (!preview || preview.needs.length === 0) return several;
    read.push({ sources: take.sources, mapping: preview.mapping });
  }
  const command = await rolesCommand('evaluate', argv, read);
  return command === null
    ? several
    : `${several}. If they are one, say what their columns hold, for example: ${command}`;
}

function evaluateTake(
  take: ReadTake,
  mapping: Mapping,
  candidate: Candidate,
  calibration: Calibration,
  stated: Pick<CheckInput, 'calibration' | 'mount'>,
  labelsPath: string | undefined,
  named: StatedButtons,
  patienceMs: number,
): EvaluatedTake {
  const { uniform } = buildTimeBase(take.log, take.saturated);
  const motion = computeMotion(uniform, calibration);
  const buttons = buttonsIn(take.presses, mapping, named);
  const deflectionPresses = deflectionPressesOf(buttons);
  const signals = computeSignals(motion, candidate, take.presses, deflectionPresses);
  const judged = powerPressesOf(buttons);
  const durationUs = motion.timeUs.at(-1) ?? 0;
  const fitted = labelsPath === undefined ? UNLABELLED : readLabels(labelsPath, take.presses, durationUs);
  const evaluation = evaluate(signals, judged, fitted.labels, candidate, motion);
  const units = motionUnits(evaluation.truth, fitted.labels, signals);
  const byMotion = scoreMotion(signals, evaluation.closed, units, patienceMs);
  const labelsLeftOut = fitted.leftOut && `${labelsPath}: ${fitted.leftOut}`;
  const check = checkRead(take, uniform, motion, stated);
  const others = candidate === DEFAULT_CANDIDATE ? [] : [DEFAULTS];
  const known = { uniform, presses: judged, allPresses: take.presses, deflectionPresses };
  const device =
    take.decisions && findCause({ ...known, calibration, candidate, others, logged: take.decisions });
  return {
    take,
    motion,
    evaluation,
    byMotion,
    check,
    device,
    calibration,
    powerButton: buttons.powerButton,
    deflectionButton: deflectionButtonOf(buttons),
    labelsLeftOut,
  };
}

interface StatedButtons {
  readonly power: string | undefined;
  readonly deflection: string | undefined;
}

/** Which button is which: as stated, else as their names say. @throws UsageError  for one that the log does not have. */
function buttonsIn(
  presses: readonly Press[],
  mapping: Mapping,
  { power, deflection }: StatedButtons,
): TakeButtons {
  const named = { presses, mapping };
  const buttons = buttonsOf(named);
  const check = (option: string, name: string) => {
    if (!buttons.includes(name))
      throw new UsageError(
        `${option}: no press of "${name}" (${buttons.join(', ') || 'the log holds no presses'})`,
      );
    return name;
  };
  const powerButton = power === undefined ? likelyPowerButton(buttons) : check('--power-button', power);
  if (deflection === undefined) return { ...named, powerButton };
  const deflectionButton = check('--deflection-button', deflection);
  return { ...named, powerButton, deflectionButton };
}
