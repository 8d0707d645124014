import { type ParseArgsConfig, parseArgs } from 'node:util';
import { COLUMN_ROLES, ROLES, type Role } from '../engine/base/columnRoles.ts';
import { isStatedRate, STATED_RATE_HZ_AT_LEAST, STATED_RATE_HZ_AT_MOST } from '../engine/base/statedRate.ts';
import { CLOCK_USES, type ClockUse } from '../ingest/ground/types.ts';
import { canonicalUnit, type Quantity, UNIT_EXAMPLES } from '../ingest/ground/units.ts';
import { BUTTON_UNIT_EXAMPLES, isButtonUnit } from '../ingest/roles/tracks.ts';
import { messageOf } from '../store/errors.ts';
import { UsageError } from './io.ts';

/** A column that the user names by its header or by its number, counting from 1; perhaps with its file before it. */
interface ColumnChoice {
  readonly role: Role;
  /** As --map states it behind the role. */
  readonly unit?: string;
  readonly column: string;
}

/** Options that say how logs are read. */
export interface ReadOptions {
  readonly rateHz?: number;
  readonly clock?: ClockUse;
  readonly timeUnit?: string;
  readonly accelUnit?: string;
  readonly gyroUnit?: string;
  readonly choices: readonly ColumnChoice[];
  /** Columns to read with the other sign, named in the same way. */
  readonly reversed: readonly string[];
}

export const READ_OPTIONS = {
  rate: { type: 'string' },
  clock: { type: 'string' },
  'time-unit': { type: 'string' },
  'accel-unit': { type: 'string' },
  'gyro-unit': { type: 'string' },
  map: { type: 'string', multiple: true },
  reverse: { type: 'string', multiple: true },
} as const;

export const READ_HELP = `  --rate HZ            sample rate, for logs without a clock (at most 100000)
  --clock even|stamps  even: rows follow each other at even steps, of --rate where it is given, else at the
                       mean pace of their stamps; stamps: every row at its own stamp, bunched or not
  --time-unit UNIT     ${UNIT_EXAMPLES.time}
  --accel-unit UNIT    ${UNIT_EXAMPLES.accel}
  --gyro-unit UNIT     ${UNIT_EXAMPLES.gyro}
  --map ROLE=COLUMN    takes a column, by name or by number from 1, as time, gyroX, gyroY, gyroZ,
                       accelX, accelY, accelZ, gravityX, gravityY, gravityZ, button,
                       label or ignored; may be repeated. Of several files the column is that of
                       one: --map gyroX=gyro.csv:2. A button may say how it is read:
                       --map button:activeLow=COLUMN (${BUTTON_UNIT_EXAMPLES})
  --reverse COLUMN     reads a column of motion with the other sign; may be repeated
`;

/** @throws UsageError  for a value that is none */
export function readOptions(values: Readonly<Record<string, unknown>>): ReadOptions {
  const text = (name: string) => values[name] as string | undefined;
  const rateHz = text('rate') === undefined ? undefined : readRate(text('rate')!);
  const clock = readClock(text('clock'));
  const timeUnit = readUnitOption('time', '--time-unit', text('time-unit'));
  const accelUnit = readUnitOption('accel', '--accel-unit', text('accel-unit'));
  const gyroUnit = readUnitOption('gyro', '--gyro-unit', text('gyro-unit'));
  return {
    ...(rateHz === undefined ? {} : { rateHz }),
    ...(clock === undefined ? {} : { clock }),
    ...(timeUnit === undefined ? {} : { timeUnit }),
    ...(accelUnit === undefined ? {} : { accelUnit }),
    ...(gyroUnit === undefined ? {} : { gyroUnit }),
    choices: ((values.map as string[] | undefined) ?? []).map(readChoice),
    reversed: (values.reverse as string[] | undefined) ?? [],
  };
}

/** node:util's parser, its complaints as UsageError. */
export function parseStrictly<T extends ParseArgsConfig>(config: T): ReturnType<typeof parseArgs<T>> {
  try {
    return parseArgs(config);
  } catch (error) {
    throw new UsageError(messageOf(error));
  }
}

function readRate(text: string): number {
  const rateHz = Number(text);
  if (text.trim() === '' || !isStatedRate(rateHz)) {
    throw new UsageError(
      `--rate must be a number of Hz from ${STATED_RATE_HZ_AT_LEAST} to ${STATED_RATE_HZ_AT_MOST}, got "${text}"`,
    );
  }
  return rateHz;
}

function readClock(text: string | undefined): ClockUse | undefined {
  if (text === undefined) return undefined;
  const use = CLOCK_USES.find((own) => own === text);
  if (use === undefined) throw new UsageError(`--clock must be ${CLOCK_USES.join(' or ')}, got "${text}"`);
  return use;
}

function readUnitOption(quantity: Quantity, option: string, text: string | undefined): string | undefined {
  if (text === undefined) return undefined;
  const unit = canonicalUnit(quantity, text);
  if (unit === null)
    throw new UsageError(`${option}: "${text}" is no such unit; give ${UNIT_EXAMPLES[quantity]}`);
  return unit;
}

function readChoice(text: string): ColumnChoice {
  const at = text.indexOf('=');
  const [name = '', ...unitParts] = text.slice(0, Math.max(0, at)).split(':');
  const role = ROLES.find((own) => own.toLowerCase() === name.toLowerCase());
  if (at < 1 || at === text.length - 1) throw new UsageError(`--map wants ROLE=COLUMN, got "${text}"`);
  if (!role) throw new UsageError(`--map: "${name}" is no role (${ROLES.join(', ')})`);
  const unit = unitParts.join(':');
  const isButton = COLUMN_ROLES[role].units === 'button';
  if (unit !== '' && isButton && !isButtonUnit(unit))
    throw new UsageError(`--map: a button is ${BUTTON_UNIT_EXAMPLES}, not "${unit}"`);
  if (unit !== '' && !isButton)
    throw new UsageError(
      `--map: only a button takes how it is read, as in button:activeLow=COLUMN, got "${text}"`,
    );
  return { role, column: text.slice(at + 1), ...(unit === '' ? {} : { unit }) };
}
