import type { Candidate } from './candidate.ts';

/** Where a setting stands: group and name, such as `guard.holdMs`. */
export type FieldPath = { [G in keyof Candidate]: `${G}.${keyof Candidate[G] & string}` }[keyof Candidate];

export type ChoicePath = 'smoothing.kind' | 'smoothing.order' | 'guard.decideAt' | 'twist.startAt';

export type NumberPath = Exclude<FieldPath, ChoicePath>;

/** Bounds of a number (both ends allowed), the step of its control, and its name in plain words. */
export interface FieldRule {
  readonly min: number;
  readonly max: number;
  /** What one press of an arrow key changes; no value has to be a multiple of it. */
  readonly step: number;
  /** '' where the number has none. */
  readonly unit: '°/s' | 'ms' | 'g' | 'Hz' | '°' | '';
  readonly label: string;
}

export interface ChoiceRule {
  readonly label: string;
  readonly choices: readonly { readonly value: string | number; readonly label: string }[];
}

/** A setting that is missing, unknown, or out of bounds. `path` names it; '' stands for the whole candidate. */
export class CandidateError extends RangeError {
  readonly path: string;
  constructor(path: string, problem: string) {
    super(path === '' ? problem : `${path}: ${problem}`);
    this.name = 'CandidateError';
    this.path = path;
  }
}

/**
 * Why the stab's numbers: a push of 1.5 g and 0.1 s stands at 1.2 g for 20 ms once a low-pass of 25 Hz has been over it,
 * and a hand that goes along with a swing pushes 0.8 g at the most while the blade is slower than 200 deg/s. At that speed
 * a lever arm of 0.7 m pulls 0.87 g: below 1 g too, should nobody have set the lever arm, or the mount be end for end.
 * An arm that turns in two joints does push 1.5 to 4 g, but only as a swing starts, stops or turns back: hence quiet before
 * and until the hit. A hit ends a thrust at a part of its own level, which has to stand above what the force does where a
 * fast swing turns; a quiet blade needs less, and a sharp hit is soon too short to be seen whole: a shock of 6 g and 4 ms
 * behind a sensor's low-pass of 42 Hz reads 1.0 to 1.4 g on the channel that impacts are told by.
 */
export const DEFAULT_CANDIDATE: Candidate = freezeGroups({
  smoothing: { kind: 'butterworth', order: 2, cutoffHz: 25, lengthMs: 25 },
  guard: { speedDps: 240, holdMs: 0, releaseRatio: 1, decideAt: 'press' },
  deflection: { speedDps: 240, rearmRatio: 0.6, restMs: 180, confirmMs: 0 },
  impact: { impactG: 3.2, restMs: 120, allowanceGPer100Dps: 0.3, highPassHz: 20 },
  stab: {
    thrustG: 1,
    sustainMs: 20,
    quietDps: 200,
    quietBeforeMs: 200,
    windowMs: 120,
    untilHitDps: 300,
    hitRatio: 0.2,
  },
  twist: { angleDeg: 60, windowMs: 600, quietDps: 120, degPerStep: 15, startAt: 'rest' },
});

const NUMBER_RULES: Readonly<Record<NumberPath, FieldRule>> = {
  'smoothing.cutoffHz': rule(0.5, 500, 0.5, 'Hz', 'Smoothing: lets through up to'),
  'smoothing.lengthMs': rule(1, 500, 1, 'ms', 'Smoothing: looks back over'),
  'guard.speedDps': rule(5, 4000, 5, '°/s', 'Guard closes at a swing speed of'),
  'guard.holdMs': rule(0, 5000, 5, 'ms', 'Guard stays closed afterwards for'),
  'guard.releaseRatio': rule(0.05, 1, 0.05, '', 'Guard lets go below this part of its speed'),
  'deflection.speedDps': rule(5, 4000, 5, '°/s', 'Deflection fires at a swing speed of'),
  'deflection.rearmRatio': rule(0.05, 1, 0.05, '', 'Deflection arms again below this part of its speed'),
  'deflection.restMs': rule(0, 5000, 5, 'ms', 'Shortest time between two deflections'),
  'deflection.confirmMs': rule(0, 1000, 5, 'ms', 'Speed must last, before a deflection fires, for'),
  'impact.impactG': rule(0.1, 200, 0.1, 'g', 'Impact from'),
  'impact.restMs': rule(0, 5000, 5, 'ms', 'Shortest time between two impacts'),
  'impact.allowanceGPer100Dps': rule(0, 20, 0.05, 'g', 'Impact level rises, for every 100 °/s of swing, by'),
  'impact.highPassHz': rule(0.5, 500, 0.5, 'Hz', 'Impact listens above'),
  'stab.thrustG': rule(0.1, 50, 0.1, 'g', 'Stab needs a thrust of'),
  'stab.sustainMs': rule(0, 1000, 5, 'ms', 'Thrust must last for'),
  'stab.quietDps': rule(5, 4000, 5, '°/s', 'Stab needs a swing speed of at most'),
  'stab.quietBeforeMs': rule(0, 2000, 10, 'ms', 'Blade must have been that slow, before the thrust, for'),
  'stab.windowMs': rule(0, 2000, 5, 'ms', 'Impact must follow the thrust within'),
  'stab.untilHitDps': rule(5, 10000, 5, '°/s', 'Between thrust and impact, a swing speed of at most'),
  'stab.hitRatio': rule(0.05, 1, 0.05, '', 'Impact ends a stab from this part of its own level'),
  'twist.angleDeg': rule(1, 1080, 1, '°', 'Twist fires at a turn of'),
  'twist.windowMs': rule(10, 5000, 10, 'ms', 'Twist must happen within'),
  'twist.quietDps': rule(5, 4000, 5, '°/s', 'Twist needs a swing speed of at most'),
  'twist.degPerStep': rule(1, 360, 1, '°', 'Dial: turn for one step'),
};

const CHOICES: Readonly<Record<ChoicePath, ChoiceRule>> = {
  'smoothing.kind': choice('Smoothing', {
    none: 'None',
    firstOrder: 'First order',
    butterworth: 'Butterworth low-pass',
    movingAverage: 'Moving average',
    median: 'One-sided median',
  }),
  'smoothing.order': {
    label: 'Order of the low-pass',
    choices: [1, 2, 4].map((value) => ({ value, label: String(value) })),
  },
  'guard.decideAt': choice('The power button acts when it is', { press: 'Pressed', release: 'Let go' }),
  'twist.startAt': choice('The twist angle counts from', {
    takeStart: 'The start of the take',
    rest: 'The last rest',
    hold: 'The last press of a button',
  }),
};

/**
 * Settings that came later than candidates were first kept, and the value with which each does as the program did
 * without it: what a candidate kept before then is given.
 */
const BEFORE_IT: Partial<Readonly<Record<FieldPath, number>>> = {
  'stab.quietBeforeMs': 0,
  'stab.untilHitDps': 10000,
  'stab.hitRatio': 0.25,
};

/** The rule of every setting that is a number, by its path. */
export const FIELD_RULES: Readonly<Record<string, FieldRule>> = NUMBER_RULES;

/** The rule of every setting that is a choice, by its path. */
export const CHOICE_RULES: Readonly<Record<string, ChoiceRule>> = CHOICES;

/**
 * The candidate as a frozen copy, every setting checked. `smoothing.lengthMs` may be missing where the kind of smoothing
 * has no length: it is younger than the other settings, and candidates kept without it are to stay readable.
 * @throws CandidateError  naming the first setting that is missing, unknown, of another type or out of bounds.
 */
export function validateCandidate(candidate: unknown): Candidate {
  const groups = asRecord(candidate, '');
  refuseUnknown(groups, DEFAULT_CANDIDATE, '');
  const checked: Record<string, Record<string, unknown>> = {};
  for (const [group, defaults] of Object.entries(DEFAULT_CANDIDATE)) {
    const given = asRecord(groups[group], group);
    refuseUnknown(given, defaults, `${group}.`);
    checked[group] = {};
    for (const name of Object.keys(defaults)) {
      const path = `${group}.${name}` as FieldPath;
      const isLeftOut = given[name] === undefined && mayBeMissing(path, given);
      checked[group][name] = isLeftOut ? readField(DEFAULT_CANDIDATE, path) : checkedValue(path, given[name]);
    }
  }
  return freezeGroups(checked as unknown as Candidate);
}

/**
 * As `validateCandidate`, for one that may have been kept before some settings came: those that it lacks are given the
 * values with which it does what it did then.
 * @throws CandidateError  as above.
 */
export function validateKeptCandidate(candidate: unknown): Candidate {
  const groups = { ...asRecord(candidate, '') };
  for (const [path, value] of Object.entries(BEFORE_IT)) {
    const [group, name] = splitPath(path);
    const given = asRecord(groups[group], group);
    if (given[name] === undefined) groups[group] = { ...given, [name]: value };
  }
  return validateCandidate(groups);
}

/** Whether a kind of smoothing is set by `lengthMs`. */
export function isWindowed(kind: unknown): boolean {
  return kind === 'movingAverage' || kind === 'median';
}

/** The value of one setting. @throws CandidateError  if there is no such setting. */
export function readField(candidate: Candidate, path: string): number | string {
  const [group, name] = splitPath(path);
  return (candidate[group] as unknown as Record<string, number | string>)[name]!;
}

/** A new frozen candidate that differs in one setting. @throws CandidateError  if the path or the value is not allowed. */
export function withField(candidate: Candidate, path: string, value: number | string): Candidate {
  const [group, name] = splitPath(path);
  const checked = checkedValue(path as FieldPath, value);
  return freezeGroups({ ...candidate, [group]: { ...candidate[group], [name]: checked } });
}

export function isFieldPath(path: string): path is FieldPath {
  return Object.hasOwn(FIELD_RULES, path) || Object.hasOwn(CHOICE_RULES, path);
}

function mayBeMissing(path: FieldPath, group: Readonly<Record<string, unknown>>): boolean {
  return path === 'smoothing.lengthMs' && !isWindowed(group['kind']);
}

function checkedValue(path: FieldPath, value: unknown): number | string {
  return isChoice(path) ? checkedChoice(path, value) : checkedNumber(path, value);
}

function checkedNumber(path: NumberPath, value: unknown): number {
  const { min, max, unit } = NUMBER_RULES[path];
  if (typeof value === 'number' && value >= min && value <= max) return value;
  const bounds = `must be a number from ${min} to ${max}${unit === '' ? '' : ` ${unit}`}`;
  throw new CandidateError(path, `${bounds}, got ${shown(value)}`);
}

function checkedChoice(path: ChoicePath, value: unknown): number | string {
  const { choices } = CHOICES[path];
  const found = choices.find((one) => one.value === value);
  if (found) return found.value;
  throw new CandidateError(
    path,
    `must be one of ${choices.map((one) => one.value).join(', ')}, got ${shown(value)}`,
  );
}

function isChoice(path: FieldPath): path is ChoicePath {
  return Object.hasOwn(CHOICE_RULES, path);
}

function splitPath(path: string): [keyof Candidate, string] {
  if (!isFieldPath(path)) throw new CandidateError(path, 'there is no such setting');
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

function freezeGroups(candidate: Candidate): Candidate {
  for (const group of Object.values(candidate)) Object.freeze(group);
  return Object.freeze(candidate);
}

function rule(min: number, max: number, step: number, unit: FieldRule['unit'], label: string): FieldRule {
  return { min, max, step, unit, label };
}

function choice(label: string, labels: Readonly<Record<string, string>>): ChoiceRule {
  return { label, choices: Object.entries(labels).map(([value, text]) => ({ value, label: text })) };
}
