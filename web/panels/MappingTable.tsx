import { COLUMN_ROLES, isAxis, type Role, type UnitFamily } from '../../server/engine/base/columnRoles.ts';
import type { ColumnMapping, Overrides, Preview } from '../../server/http/schemas.ts';
import { isSameColumn } from '../state/statements.ts';

/** The choices that the page offers for each. */
const UNITS: Readonly<Record<UnitFamily, readonly string[]>> = {
  time: ['s', 'ms', 'us', 'ns', 'min', 's.us', 'iso8601', 'timeOfDay', 'counter'],
  gyro: ['deg/s', 'rad/s', 'mdeg/s', 'lsb:131', 'lsb:65.5', 'lsb:32.8', 'lsb:16.4', 'lsb:14.2857142857'],
  accel: ['g', 'm/s2', 'mg', 'lsb:16384', 'lsb:8192', 'lsb:4096', 'lsb:2048'],
  gravity: ['added', 'subtracted'],
  button: ['level', 'activeHigh', 'activeLow', 'edge'],
};

const UNIT_WORDS: Readonly<Record<string, string>> = {
  'm/s2': 'm/s²',
  'deg/s': '°/s',
  'mdeg/s': 'm°/s',
  'cdeg/s': 'c°/s',
  'deg/min': '°/min',
  'cm/s2': 'cm/s²',
  'mm/s2': 'mm/s²',
  'ft/s2': 'ft/s²',
  ug: 'µg',
  us: 'µs',
  's.us': 's.µs, not padded',
  iso8601: 'date and time',
  timeOfDay: 'time of day',
  counter: 'counts samples',
  added: 'added to acceleration',
  subtracted: 'taken off acceleration',
  level: 'shows the state',
  activeHigh: 'down while 1 or high',
  activeLow: 'down while 0 or low',
  edge: 'down and up events',
};

interface MappingTableProps {
  readonly preview: Preview;
  /** The user's statements; they may be newer than the preview. */
  readonly stated: Overrides;
  onChange(column: ColumnMapping, change: { role: Role; unit: string }): void;
  onReverse(column: ColumnMapping, reversed: boolean): void;
}

/** Every column: what it is taken for, in which unit, why, and its first values. */
export function MappingTable({ preview, stated, onChange, onReverse }: MappingTableProps) {
  const { files } = preview.mapping;
  const hasFiles = files.length > 1;
  /** Two files may both have a column 2. */
  const called = ({ name, file }: ColumnMapping) => (hasFiles ? `${name} of ${files[file]?.name}` : name);
  return (
    <section class="mapping" aria-label="Columns">
      <table>
        <thead>
          <tr>
            <th scope="col">Column</th>
            <th scope="col">is</th>
            <th scope="col">in</th>
            <th scope="col">First values</th>
            <th scope="col">Because</th>
          </tr>
        </thead>
        <tbody>
          {preview.mapping.columns.map((column) => (
            <tr key={`${column.file}.${column.index}`} class={column.role === 'ignored' ? 'is-ignored' : ''}>
              <th scope="row">
                {column.name}
                {hasFiles && <small>{preview.mapping.files[column.file]?.name}</small>}
              </th>
              <td>
                <select
                  aria-label={`What column ${called(column)} is`}
                  value={statedRole(stated, column) ?? column.role}
                  onChange={(event) =>
                    onChange(column, { role: event.currentTarget.value as Role, unit: '' })
                  }
                >
                  {Object.entries(COLUMN_ROLES).map(([role, { words }]) => (
                    <option key={role} value={role}>
                      {words}
                    </option>
                  ))}
                </select>
              </td>
              <td>
                <UnitChoice
                  column={column}
                  label={`Unit of column ${called(column)}`}
                  onChange={(unit) => onChange(column, { role: column.role, unit })}
                />
                {isAxis(column.role) && (
                  <label
                    class="reverse"
                    title="Read this column with the other sign: the sensor counts the other way round"
                  >
                    <input
                      type="checkbox"
                      aria-label={`Reverse the sign of column ${called(column)}`}
                      checked={stated.reversed?.some((one) => isSameColumn(one, column)) ?? false}
                      onChange={(event) => onReverse(column, event.currentTarget.checked)}
                    />
                    reversed
                  </label>
                )}
              </td>
              <td class="values">{firstValues(preview, column).join('  ')}</td>
              <td class="reason">{[column.reason, ...(column.notes ?? [])].join('; note: ')}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function statedRole({ roles }: Overrides, column: ColumnMapping): Role | undefined {
  return roles?.find((one) => isSameColumn(one, column))?.role;
}

interface UnitChoiceProps {
  readonly column: ColumnMapping;
  readonly label: string;
  onChange(unit: string): void;
}

function UnitChoice({ column, label, onChange }: UnitChoiceProps) {
  const family = COLUMN_ROLES[column.role].units;
  if (!family) return null;
  const units =
    UNITS[family].includes(column.unit) || column.unit === ''
      ? UNITS[family]
      : [column.unit, ...UNITS[family]];
  return (
    <select aria-label={label} value={column.unit} onChange={(event) => onChange(event.currentTarget.value)}>
      {column.unit === '' && <option value="">?</option>}
      {units.map((unit) => (
        <option key={unit} value={unit}>
          {unitWords(unit, family)}
        </option>
      ))}
    </select>
  );
}

function unitWords(unit: string, family: string): string {
  if (unit.startsWith('lsb:'))
    return `raw, ${Number(Number(unit.slice(4)).toFixed(4))} per ${family === 'accel' ? 'g' : '°/s'}`;
  const [, how, own] = /^(added|subtracted):(.+)$/.exec(unit) ?? [];
  if (how !== undefined) return `${UNIT_WORDS[how]}, from ${UNIT_WORDS[own!] ?? own}`;
  const threshold = /^(above|below):(.*)$/.exec(unit);
  if (threshold) return `down ${threshold[1]} ${threshold[2]}`;
  return UNIT_WORDS[unit] ?? unit;
}

function firstValues(preview: Preview, column: ColumnMapping): string[] {
  const records = preview.head[column.file] ?? [];
  const isHeader = (record: readonly string[]): boolean => record[column.index]?.trim() === column.name;
  const start = records.findIndex(isHeader) + 1;
  return records.slice(start, start + 3).map((record) => record[column.index] ?? '');
}
