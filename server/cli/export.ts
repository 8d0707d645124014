import { basename, join } from 'node:path';
import type { Bounds } from '../engine/base/statedBounds.ts';
import { STATED_BOUNDS } from '../engine/base/statedBounds.ts';
import { DEFAULT_CALIBRATION } from '../engine/calibrate/calibration.ts';
import { fileNameOf } from '../engine/export/fileName.ts';
import { handOverHeading } from '../engine/export/heading.ts';
import { plainText } from '../engine/export/plainText.ts';
import { sheetHtml } from '../engine/export/sheet/html.ts';
import { sheetMarkdown } from '../engine/export/sheet/markdown.ts';
import { sheetOf } from '../engine/export/sheet/sheet.ts';
import { fillTemplate, TemplateError } from '../engine/export/template.ts';
import { templateValues } from '../engine/export/values.ts';
import { formatKeptFile } from '../engine/kept/keptFile.ts';
import { settingSchema } from '../engine/kept/schema.ts';
import type { PropBuild } from '../engine/prop/c99/constants.ts';
import { generateC99, generateHeader, type TextFile } from '../engine/prop/c99/generate.ts';
import type { Candidate } from '../engine/settings/candidate.ts';
import { formatCandidateFile } from '../engine/settings/candidateFile.ts';
import { DEFAULT_CANDIDATE } from '../engine/settings/candidateRules.ts';
import { readSetting, type SettingInput } from './candidateInput.ts';
import { readMount } from './evaluateArgs.ts';
import { tellFailure } from './failure.ts';
import { folderTakes, NOTHING_STATED } from './folderTakes.ts';
import { parseStrictly } from './inspectArgs.ts';
import { DataError, EXIT_FINE, type Io, UsageError } from './io.ts';
import { readText } from './openFile.ts';
import { makeFolder, writeOutput } from './outputFile.ts';
import { refuseOutput } from './refuseOutput.ts';
import { judgeOnFolder } from './settingEvidence.ts';
import { readStated } from './statedNumber.ts';

const RATE: Bounds = { min: 10, max: 10_000, unit: 'Hz' };
const SCALE: Bounds = { min: 0.5, max: 2, unit: '' };
/** Where no rate is stated. */
const USUAL_RATE_HZ = 200;

const HELP = `Usage: export --as KIND --out FOLDER [options]

Writes a setting as what a prop's maker needs. The folder is made where it is not there; files of the same names in it
are written anew.

  --as json            the setting as a file, as the page exports it
  --as text            one line a value, to type off
  --as header          a C header of constants, with units in their names
  --as c99             detectors in C99 that decide as the workbench does: prop.h, prop.c, and an example
  --as sheet           a sheet to print and keep, as one HTML file and as Markdown: values, and what they rest on
  --as template        a text file of your own with {{guard.speedDps}} and the like filled in
  --as schema          the JSON Schema of the file of a kept setting; it needs no setting
  --template FILE      that file; the result keeps its name
  --setting FILE       a kept setting, or a candidate as the page exports it (the workbench's defaults without it)
  --takes FOLDER       with json and sheet: judges it on these takes first, of its performers where it names them; a
                       workspace, or a folder of logs with labels beside each
  --name NAME          what it is called, in headings and in the names of files (as it was kept, or "setting")
  --rate HZ            samples a second on the prop, 10 to 10000 (200)
  --lever-arm M        from the turning point to the sensor, toward the tip, in metres, -2 to 2 (0)
  --accel-scale X      factor on the accelerometer's readings, 0.5 to 2 (1)
  --mount tip=+x,side=+y   which sensor axes point to the tip and to the side
  --out FOLDER         where to write
  --help               this text

Placeholders of a template: {{guard.holdMs}}, {{guard.speedDps in rad/s to 3 decimals}}, {{guard.holdMs in samples}},
{{guard.holdMs in samples at 208 Hz}}, {{setting.name}}, {{prop.rateHz}}; \\{{ is a plain {{.

Exit code: 0 fine, 1 what a file holds cannot be used, 2 the command makes no sense or a file cannot be opened or written.
`;

const KINDS = ['json', 'text', 'header', 'c99', 'sheet', 'template', 'schema'] as const;
/** Those that tell of evidence. */
const JUDGED: readonly string[] = ['json', 'sheet'];
/** Those that hold times as samples of a rate. */
const RATED = ['header', 'c99', 'template'];

const OPTIONS = {
  as: { type: 'string' },
  out: { type: 'string' },
  template: { type: 'string' },
  setting: { type: 'string' },
  name: { type: 'string' },
  takes: { type: 'string' },
  rate: { type: 'string' },
  'lever-arm': { type: 'string' },
  'accel-scale': { type: 'string' },
  mount: { type: 'string' },
  help: { type: 'boolean', short: 'h' },
} as const;

type Values = Partial<Record<Exclude<keyof typeof OPTIONS, 'help'>, string>>;

/** Runs `export`; returns the exit code. */
export async function run(argv: string[], io: Io): Promise<number> {
  try {
    const { values } = parseStrictly({ args: argv, allowPositionals: false, options: OPTIONS });
    if (values.help) {
      io.stdout.write(HELP);
      return EXIT_FINE;
    }
    const { out } = values;
    if (out === undefined) throw new UsageError('--out is missing: name the folder to write to');
    const files = await filesOf(values);
    const inputs = [values.setting, values.template, ...inputsIn(values.takes)].filter(
      (path) => path !== undefined,
    );
    const places = files.map(({ name }) => ({ option: '--out', path: join(out, name), inputs }));
    for (const place of places) await refuseOutput(place);
    await makeFolder(out);
    for (const [k, { text }] of files.entries()) {
      await writeOutput(places[k]!, [text]);
      io.stdout.write(`${places[k]!.path}\n`);
    }
    if (values.rate === undefined && RATED.includes(values.as!))
      io.stderr.write(`No --rate was stated: written for ${USUAL_RATE_HZ} samples a second.\n`);
    return EXIT_FINE;
  } catch (error) {
    return tellFailure(error, 'export', argv, io);
  }
}

async function filesOf(values: Values): Promise<TextFile[]> {
  const kind = KINDS.find((one) => one === values.as);
  if (kind === undefined) {
    const got = values.as === undefined ? 'nothing' : `"${values.as}"`;
    throw new UsageError(`--as must be one of ${KINDS.join(', ')}, got ${got}`);
  }
  if ((kind === 'template') !== (values.template !== undefined))
    throw new UsageError(
      kind === 'template'
        ? '--template is missing: name the file to fill in'
        : '--template goes with --as template only',
    );
  if (values.takes !== undefined && !JUDGED.includes(kind))
    throw new UsageError(`--takes goes with --as ${JUDGED.join(' and ')} only`);
  if (kind === 'schema')
    return [{ name: 'setting.schema.json', text: `${JSON.stringify(settingSchema(), null, 2)}\n` }];
  const read: SettingInput =
    values.setting === undefined ? { kept: null, candidate: DEFAULT_CANDIDATE } : readSetting(values.setting);
  const name = values.name === undefined ? (read.kept?.name ?? 'setting') : readName(values.name);
  const setting = values.takes === undefined ? read : await judgedOn(read, name, values.takes);
  return writtenAs(kind, { ...setting, name }, values);
}

/** The setting with the evidence of a folder's takes in the place of what it had. */
async function judgedOn(
  { kept, candidate }: SettingInput,
  name: string,
  folder: string,
): Promise<SettingInput> {
  const now = new Date().toISOString();
  const base = kept ?? { name, prop: '', performers: [], note: '', keptAt: now, candidate, evidence: null };
  const evidence = await judgeOnFolder(candidate, folder, base, now);
  return { kept: { ...base, evidence }, candidate };
}

/** Files that are read from a folder of takes: nothing is written over them. */
function inputsIn(folder: string | undefined): readonly string[] {
  return folder === undefined ? [] : folderTakes(folder, NOTHING_STATED).flatMap((take) => take.files());
}

function writtenAs(
  kind: Exclude<(typeof KINDS)[number], 'schema'>,
  { kept, candidate, name }: SettingInput & { readonly name: string },
  values: Values,
): TextFile[] {
  const build = readBuild(candidate, values);
  // Without takes at hand nothing tells whether they have changed since.
  const heading = handOverHeading(name, kept, []);
  const file = fileNameOf(name);
  switch (kind) {
    case 'json': {
      const text = kept === null ? formatCandidateFile(candidate) : formatKeptFile({ ...kept, name });
      return [{ name: `${file}.json`, text }];
    }
    case 'text':
      return [{ name: `${file}.txt`, text: plainText(build, heading) }];
    case 'header':
      return [generateHeader(build, heading)];
    case 'c99':
      return generateC99(build, heading);
    case 'sheet': {
      const alone = { prop: '', performers: [], note: '', keptAt: null, evidence: null };
      const sheet = sheetOf({ ...(kept ?? alone), candidate, name });
      return [
        { name: `${file}.html`, text: sheetHtml(sheet) },
        { name: `${file}.md`, text: sheetMarkdown(sheet) },
      ];
    }
    case 'template':
      return [fillIn(values.template!, build, name)];
  }
}

function fillIn(path: string, build: PropBuild, name: string): TextFile {
  try {
    const text = fillTemplate(readText(path), templateValues(build, name), build.rateHz);
    return { name: basename(path), text };
  } catch (error) {
    if (!(error instanceof TemplateError)) throw error;
    throw new DataError('TEMPLATE', `${path}: ${error.message}`, { file: path, path: error.placeholder });
  }
}

function readBuild(candidate: Candidate, values: Values): PropBuild {
  const stated = (option: 'rate' | 'lever-arm' | 'accel-scale', bounds: Bounds, usual: number) => {
    const text = values[option];
    return text === undefined ? usual : readStated(`--${option}`, text, bounds);
  };
  return {
    candidate,
    calibration: {
      mount: readMount(values.mount),
      leverArmM: stated('lever-arm', STATED_BOUNDS.leverArmM, DEFAULT_CALIBRATION.leverArmM),
      accelScale: stated('accel-scale', SCALE, DEFAULT_CALIBRATION.accelScale),
    },
    rateHz: stated('rate', RATE, USUAL_RATE_HZ),
  };
}

/** A name that every file system takes. */
function readName(name: string): string {
  if (/^[\p{L}\p{N}][\p{L}\p{N} ._-]{0,79}$/u.test(name) && !/[. ]$/.test(name)) return name;
  throw new UsageError(
    `--name wants up to 80 letters, digits, spaces, ".", "_" and "-", beginning with a letter or digit, got "${name}"`,
  );
}
