import type { ChoiceSetting, NumberSetting, Setting } from '../base/setting.ts';
import type { Detector } from '../detect/detector.ts';
import { DETECTORS } from '../detect/detectors.ts';
import { isWindowed, SMOOTHING_SETTINGS } from '../filter/smoothing.ts';
import type { Candidate, Groups } from './candidate.ts';

type PathsOf<Kind> = {
  [G in keyof Groups]: {
    [N in keyof Groups[G] & string]: Groups[G][N] extends Kind ? `${G}.${N}` : never;
  }[keyof Groups[G] & string];
}[keyof Groups];

/** Where a setting stands: group and name, such as `guard.holdMs`. */
export type NumberPath = PathsOf<NumberSetting>;
export type ChoicePath = PathsOf<ChoiceSetting>;
export type FieldPath = NumberPath | ChoicePath;

const BY_ID: Readonly<Record<string, Detector>> = DETECTORS;

const GROUPS: Readonly<Record<string, Detector['settings']>> = {
  smoothing: SMOOTHING_SETTINGS,
  ...mapValues(BY_ID, ({ settings }) => settings),
};

export const DEFAULT_CANDIDATE = freezeGroups(
  mapValues(GROUPS, (settings) => mapValues(settings, ({ byDefault }) => byDefault)) as unknown as Candidate,
);

const SETTINGS: ReadonlyMap<string, Setting> = new Map(
  Object.entries(GROUPS).flatMap(([group, settings]) =>
    Object.entries(settings).map(([name, setting]) => [`${group}.${name}`, setting]),
  ),
);

/** Every setting's place, in the order of a candidate's document. */
export const FIELD_PATHS = [...SETTINGS.keys()] as readonly FieldPath[];

/** Documents without a version were written before there were versions; those of the first know the same settings. */
export const FIRST_VERSION = 1;

/** The latest version of a candidate's document: it rises with every setting or detector that is added. */
export const CANDIDATE_VERSION = Math.max(...FIELD_PATHS.map(sinceOf));

/** A setting that is missing, unknown, or out of bounds. `path` names it; '' stands for the whole candidate. */
export class CandidateError extends RangeError {
  readonly path: string;
  readonly problem: string;
  constructor(path: string, problem: string) {
    super(path === '' ? problem : `${path}: ${problem}`);
    this.name = 'CandidateError';
    this.path = path;
    this.problem = problem;
  }
}

/** What describes a setting. @throws CandidateError  if there is no such setting. */
export function settingAt(path: NumberPath): NumberSetting;
export function settingAt(path: ChoicePath): ChoiceSetting;
export function settingAt(path: string): Setting;
export function settingAt(path: string): Setting {
  const setting = SETTINGS.get(path);
  if (setting === undefined) throw new CandidateError(path, 'there is no such setting');
  return setting;
}

/**
 * The candidate as a frozen copy, every setting checked. `smoothing.lengthMs` may be missing where the kind of smoothing
 * has no length.
 * @param version  of the document: settings that it could not yet know are given the value with which all goes as it did
 * then, and detectors that it could not know their defaults.
 * @throws CandidateError  naming the first setting that is missing, unknown, of another type or out of bounds, or the
 * version where a newer program wrote it.
 */
export function validateCandidate(candidate: unknown, version = CANDIDATE_VERSION): Candidate {
  refuseNewer(version);
  const groups = asRecord(candidate, '');
  refuseUnknown(groups, GROUPS, '');
  const checked: Record<string, Record<string, unknown>> = {};
  for (const [group, settings] of Object.entries(GROUPS)) {
    const isYounger = groups[group] === undefined && groupSince(group) > version;
    const given = isYounger ? {} : asRecord(groups[group], group);
    refuseUnknown(given, settings, `${group}.`);
    checked[group] = {};
    for (const name of Object.keys(settings)) {
      const path = `${group}.${name}`;
      const isLeftOut = given[name] === undefined;
      const value = isLeftOut ? valueWithout(path, version, given) : given[name];
      checked[group][name] = checkedValue(path, value);
    }
  }
  return freezeGroups(checked as unknown as Candidate);
}

/**
 * @param latest  the latest version that this program reads.
 * @throws CandidateError  if a newer program than this one wrote it, or it is no version at all.
 */
export function refuseNewer(version: unknown, latest = CANDIDATE_VERSION): asserts version is number {
  const range = `must be a whole number from ${FIRST_VERSION} to ${latest}, got ${shown(version)}`;
  if (typeof version !== 'number' || !Number.isInteger(version) || version < FIRST_VERSION)
    throw new CandidateError('version', range);
  if (version <= latest) return;
  const which = `it is ${version}, and this program reads no later one than ${latest}`;
  throw new CandidateError('version', `a newer version of this program wrote it: ${which}`);
}

/** The value of one setting. @throws CandidateError  if there is no such setting. */
export function readField(candidate: Candidate, path: string): number | string {
  const [group, name] = splitPath(path);
  return (candidate[group] as unknown as Record<string, number | string>)[name]!;
}

/** A new frozen candidate that differs in one setting. @throws CandidateError  if the path or the value is not allowed. */
export function withField(candidate: Candidate, path: string, value: number | string): Candidate {
  const [group, name] = splitPath(path);
  const checked = checkedValue(path, value);
  return freezeGroups({ ...candidate, [group]: { ...candidate[group], [name]: checked } });
}

/** A value within its bounds, without the dust of binary fractions. */
export function limited(path: NumberPath, value: number): number {
  const { min, max } = settingAt(path);
  return Number(Math.min(max, Math.max(min, value)).toFixed(6));
}

export function isNumberPath(path: FieldPath): path is NumberPath {
  return settingAt(path).kind === 'number';
}

/** What stands for a setting that a document lacks; nothing where its version should have it. */
function valueWithout(path: string, version: number, given: Readonly<Record<string, unknown>>): unknown {
  const { growth, byDefault } = settingAt(path);
  if (growth !== undefined && growth.since > version) return growth.before;
  if (groupSince(splitPath(path)[0]) > version) return byDefault;
  return path === 'smoothing.lengthMs' && !isWindowed(given['kind']) ? byDefault : undefined;
}

/** The first version of a candidate's document that has the setting. */
export function sinceOf(path: string): number {
  return Math.max(settingAt(path).growth?.since ?? FIRST_VERSION, groupSince(splitPath(path)[0]));
}

/** The first version that has the group at all. */
export function groupSince(group: string): number {
  return BY_ID[group]?.since ?? FIRST_VERSION;
}

function checkedValue(path: string, value: unknown): number | string {
  const setting = settingAt(path);
  return setting.kind === 'choice'
    ? checkedChoice(path, setting, value)
    : checkedNumber(path, setting, value);
}

function checkedNumber(path: string, { min, max, unit }: NumberSetting, value: unknown): number {
  if (typeof value === 'number' && value >= min && value <= max) return value;
  const bounds = `must be a number from ${min} to ${max}${unit === '' ? '' : ` ${unit}`}`;
  throw new CandidateError(path, `${bounds}, got ${shown(value)}`);
}

function checkedChoice(path: string, { choices }: ChoiceSetting, value: unknown): number | string {
  const values = choices.map(([one]) => one);
  const found = values.find((one) => one === value);
  if (found !== undefined) return found;
  throw new CandidateError(path, `must be one of ${values.join(', ')}, got ${shown(value)}`);
}

function splitPath(path: string): [keyof Candidate, string] {
  settingAt(path);
  const dot = path.indexOf('.');
  return [path.slice(0, dot) as keyof Candidate, path.slice(dot + 1)];
}

function asRecord(value: unknown, path: string): Record<string, unknown> {
  if (typeof value === 'object' && value !== null && !Array.isArray(value))
    return value as Record<string, unknown>;
  throw new CandidateError(
    path,
    value === undefined ? 'is missing' : `must be an object, got ${shown(value)}`,
  );
}

function refuseUnknown(given: object, known: object, prefix: string): void {
  for (const name of Object.keys(given)) {
    if (!Object.hasOwn(known, name)) throw new CandidateError(`${prefix}${name}`, 'there is no such setting');
  }
}

function shown(value: unknown): string {
  if (value === undefined) return 'nothing';
  if (typeof value === 'string') return JSON.stringify(value);
  if (Array.isArray(value)) return 'a list';
  return typeof value === 'object' && value !== null ? 'an object' : String(value);
}

function mapValues<In, Out>(
  record: Readonly<Record<string, In>>,
  map: (value: In) => Out,
): Readonly<Record<string, Out>> {
  return Object.fromEntries(Object.entries(record).map(([key, value]) => [key, map(value)]));
}

function freezeGroups(candidate: Candidate): Candidate {
  for (const group of Object.values(candidate)) Object.freeze(group);
  return Object.freeze(candidate);
}
