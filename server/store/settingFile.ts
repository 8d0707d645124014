import { Ajv2020, type ErrorObject, type ValidateFunction } from 'ajv/dist/2020.js';
import { BELONGS, documentKindOf } from '../engine/base/fileKind.ts';
import type { KeptSetting } from '../engine/kept/keptSetting.ts';
import { settingSchema } from '../engine/kept/schema.ts';
import { contradictionIn } from '../engine/kept/settingCheck.ts';
import { candidateOf, inside, KEPT_VERSION } from '../engine/settings/candidateFile.ts';
import { CandidateError, refuseNewer } from '../engine/settings/candidateRules.ts';
import { messageOf, SettingFileError } from './errors.ts';

/** Told of a value in the words of JSON. */
const TYPES: Readonly<Record<string, string>> = {
  object: 'an object',
  array: 'a list',
  string: 'a text',
  number: 'a number',
  integer: 'a whole number',
  boolean: 'true or false',
  null: 'null',
};

let compiled: ValidateFunction | null = null;

/**
 * The setting in the file of a kept one: checked as a whole by the published schema, its candidate by the engine's rules,
 * and brought up to date where an older program wrote it.
 * @param file  its text, or the value that the text stands for
 * @throws SettingFileError  naming the place and what is wrong there
 */
export function readSettingFile(file: unknown): KeptSetting {
  const value = typeof file === 'string' ? parse(file) : file;
  if (documentKindOf(value) !== 'setting') throw new SettingFileError('', notASetting(value));
  const document = value as Readonly<Record<string, unknown>>;
  const candidate = asSettingFault(() => {
    refuseNewer(document['version'], KEPT_VERSION);
    return inside('candidate', () => candidateOf(document['candidate']));
  });
  // Once asked for: what is compiled takes some milliseconds, which no start is to wait for.
  compiled ??= new Ajv2020({ allowUnionTypes: true, code: { optimize: false } }).compile(settingSchema());
  if (!compiled(value)) throw faultOf(compiled.errors ?? [], value);
  const { name, prop, performers, note, keptAt, evidence } = value as KeptSetting;
  const setting = { name, prop, performers, note, keptAt, candidate, evidence };
  const contradiction = contradictionIn(setting);
  if (contradiction !== null) throw new SettingFileError(contradiction.path, contradiction.problem);
  return setting;
}

function notASetting(value: unknown): string {
  const kind = documentKindOf(value);
  if (kind === 'candidate')
    return 'this is a candidate alone, without a name and evidence: import it, then keep it under a name';
  return kind === 'labels' ? BELONGS.labels : 'this is no file of a kept setting';
}

function parse(text: string): unknown {
  try {
    return JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch (error) {
    throw new SettingFileError('', `it holds no JSON: ${messageOf(error)}`);
  }
}

function asSettingFault<Value>(read: () => Value): Value {
  try {
    return read();
  } catch (error) {
    throw error instanceof CandidateError ? new SettingFileError(error.path, error.problem) : error;
  }
}

/** The first thing that the schema says against a file; `if` only tells that what follows from it is broken. */
function faultOf(errors: readonly ErrorObject[], value: unknown): SettingFileError {
  const error = errors.find(({ keyword }) => keyword !== 'if') ?? errors[0]!;
  const { instancePath, params } = error;
  const missing = params['missingProperty'] ?? params['additionalProperty'];
  const steps = instancePath.split('/').slice(1).map(unescaped);
  const at = steps.reduce<unknown>((found, step) => (found as Record<string, unknown>)[step], value);
  const path = [...steps, ...(missing === undefined ? [] : [String(missing)])].reduce(
    (whole, step) => (/^\d+$/.test(step) ? `${whole}[${step}]` : whole === '' ? step : `${whole}.${step}`),
    '',
  );
  return new SettingFileError(path, problemOf(error, at));
}

function problemOf({ keyword, params, message, instancePath }: ErrorObject, value: unknown): string {
  const got = `, got ${shown(value)}`;
  switch (keyword) {
    case 'required':
      return 'is missing';
    case 'additionalProperties':
      return 'nothing is known by this name';
    case 'type':
      return `must be ${[params['type']]
        .flat()
        .map((type) => TYPES[type])
        .join(' or ')}${got}`;
    case 'const':
      return `must be ${JSON.stringify(params['allowedValue'])}${got}`;
    case 'enum':
      return `must be one of ${params['allowedValues'].join(', ')}${got}`;
    case 'minimum':
      return `must be at least ${params['limit']}${got}`;
    case 'maximum':
      return `must be at most ${params['limit']}${got}`;
    case 'minLength':
      return 'must not be empty';
    case 'maxLength':
      return `must be of at most ${params['limit']} characters, and has ${(value as string).length}`;
    case 'minItems':
      return `must list at least ${params['limit']}`;
    case 'uniqueItems':
      return 'lists a value twice';
    case 'pattern':
      return `${patternWords(instancePath)}${got}`;
    default:
      return message ?? 'cannot be used';
  }
}

function patternWords(place: string): string {
  if (place.endsWith('At')) return 'must be a moment such as 2026-05-01T18:30:00Z';
  return place.endsWith('/sha256') ? 'must be 64 hexadecimal digits' : 'must be one line of text';
}

function shown(value: unknown): string {
  if (Array.isArray(value)) return 'a list';
  if (typeof value === 'object' && value !== null) return 'an object';
  const text = JSON.stringify(value);
  return text.length > 60 ? `${text.slice(0, 60)}…` : text;
}

/** As RFC 6901 has it. */
function unescaped(step: string): string {
  return step.replaceAll('~1', '/').replaceAll('~0', '~');
}
