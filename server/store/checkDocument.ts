import { ROLES } from '../engine/base/columnRoles.ts';
import { AXIS_NAMES } from '../engine/base/mount.ts';
import { RECORDED_ON } from '../engine/base/session.ts';
import { DOCUMENT_FORMAT, type TakeDocument } from './documents.ts';

/** Says whether a value is of its kind. */
type Is = (value: unknown) => boolean;

const isText: Is = (value) => typeof value === 'string';
const isYesNo: Is = (value) => typeof value === 'boolean';
const isNumber: Is = (value) => typeof value === 'number' && Number.isFinite(value);
const isCount: Is = (value) => Number.isSafeInteger(value) && (value as number) >= 0;
const isFactor: Is = (value) => isNumber(value) && (value as number) > 0;
const isAxisName: Is = (value) => AXIS_NAMES.some((name) => name === value);
const isRole: Is = (value) => ROLES.some((role) => role === value);

const nullOr =
  (is: Is): Is =>
  (value) =>
    value === null || is(value);
const perhaps =
  (is: Is): Is =>
  (value) =>
    value === undefined || is(value);
const listOf =
  (is: Is): Is =>
  (value) =>
    Array.isArray(value) && value.every(is);

/** A record with these parts; it may have others. */
const recordOf =
  (parts: Readonly<Record<string, Is>>): Is =>
  (value) =>
    wrongPart(value, parts) === null;

/** Name of the first part that is not of its kind; '' where the whole is no record. */
function wrongPart(value: unknown, parts: Readonly<Record<string, Is>>): string | null {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return '';
  const record = value as Readonly<Record<string, unknown>>;
  return Object.keys(parts).find((name) => !parts[name]!(record[name])) ?? null;
}

const span = { startUs: isNumber, endUs: isNumber } as const;
const press = { button: isText, downUs: isNumber } as const;
const mount = recordOf({
  tip: isAxisName,
  side: isAxisName,
  correctionDeg: perhaps((value) => listOf(isNumber)(value) && (value as number[]).length === 3),
});

const FILE = {
  name: isText,
  delimiter: isText,
  decimal: (value: unknown) => value === '.' || value === ',',
  headerLine: nullOr(isCount),
  firstDataLine: isCount,
  comment: nullOr(isText),
  columnCount: isCount,
} as const;

const COLUMN = {
  file: isCount,
  index: isCount,
  name: isText,
  role: isRole,
  unit: isText,
  reason: isText,
  notes: perhaps(listOf(isText)),
  reversed: perhaps(isYesNo),
} as const;

const MAPPING = {
  files: listOf(recordOf(FILE)),
  columns: listOf(recordOf(COLUMN)),
  rateHz: nullOr(isFactor),
  clock: perhaps((value) => value === 'even' || value === 'stamps'),
  evenHz: perhaps(isFactor),
  mount,
  isMountAssumed: perhaps(isYesNo),
} as const;

const REPORT = {
  columns: listOf(recordOf(COLUMN)),
  rows: isCount,
  badRows: listOf(recordOf({ file: isText, line: isCount, why: isText })),
  badRowCount: isCount,
  rateHz: isFactor,
  durationS: isNumber,
  gapList: listOf(recordOf({ startS: isNumber, endS: isNumber })),
  presses: listOf(recordOf({ button: isText, count: isCount })),
  warnings: listOf(isText),
  buttonDoubts: perhaps(listOf(recordOf({ text: isText }))),
} as const;

/** What is asked of labels beyond that each is a record stands where they are read from files; here they are the program's own. */
const LABELS = {
  presses: listOf(recordOf(press)),
  spans: listOf(recordOf({ ...span, kind: isText })),
  swings: listOf(recordOf({ ...span, peakUs: isNumber })),
  gestures: perhaps(listOf(recordOf({ ...span, kind: isText }))),
} as const;

const CALIBRATION = {
  mount,
  isMountStated: perhaps(isYesNo),
  leverArmM: isNumber,
  bladeLengthM: isNumber,
  accelScale: isFactor,
} as const;

/** Also false where a source's name on disk leads out of the folder of sources. */
const isStoredName: Is = (value) =>
  typeof value === 'string' && /^[^/\\\0]+$/.test(value) && !/^\.\.?$/.test(value);

const isSource = recordOf({
  name: isText,
  sizeBytes: isCount,
  sha256: isText,
  storedAs: perhaps(isStoredName),
});

const DOCUMENT = {
  revision: isCount,
  title: isText,
  performer: isText,
  drill: isText,
  notes: isText,
  createdAt: isText,
  sources: (value: unknown) => listOf(isSource)(value) && (value as unknown[]).length > 0,
  presses: listOf(recordOf(press)),
  textSpans: listOf(recordOf({ ...span, text: isText })),
  decisions: perhaps(
    recordOf({
      guardClosed: nullOr(Array.isArray),
      refusedUs: nullOr(Array.isArray),
      fires: nullOr(Array.isArray),
    }),
  ),
  powerButton: nullOr(isText),
  useUnfit: perhaps(isYesNo),
  isDemo: isYesNo,
  ...Object.fromEntries(RECORDED_ON.map((name) => [name, perhaps(isText)])),
} as const;

const PARTS = { mapping: MAPPING, report: REPORT, labels: LABELS, calibration: CALIBRATION } as const;

/** @throws TypeError  saying why it is not the document of the take, and which part of it is at fault. */
export function checkedDocument(value: unknown, id: string): TakeDocument {
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    throw new TypeError('it holds no take');
  const document = value as Readonly<Record<string, unknown>>;
  if (typeof document.format === 'number' && document.format > DOCUMENT_FORMAT)
    throw new TypeError('a newer version of this program wrote it');
  const isOwn = document.format === DOCUMENT_FORMAT && document.id === id;
  const whole = isOwn ? wrongPart(document, DOCUMENT) : 'id';
  if (whole !== null) throw wrong(whole);
  for (const [name, parts] of Object.entries(PARTS)) {
    const part = wrongPart(document[name], parts);
    if (part !== null) throw wrong(part === '' ? name : `${name}.${part}`);
  }
  return value as TakeDocument;
}

function wrong(place: string): TypeError {
  return new TypeError(`parts of it are missing or of the wrong kind (${place})`);
}
