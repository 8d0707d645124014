import { samplesFromMs } from '../base/sampleCount.ts';
import { RAD_PER_DEG, STANDARD_GRAVITY_MPS2 } from '../base/units.ts';

/** A value that a template may name; the unit of a number as the engine has it, '' where it has none. */
export type TemplateValue =
  | { readonly kind: 'number'; readonly value: number; readonly unit: TemplateUnit }
  | { readonly kind: 'text'; readonly value: string };

export type TemplateUnit = '°/s' | 'ms' | 'g' | 'Hz' | '°' | 'm' | '';

/** A placeholder that cannot be filled. Line and column count from 1. */
export class TemplateError extends Error {
  readonly line: number;
  readonly column: number;
  readonly placeholder: string;
  constructor(line: number, column: number, placeholder: string, problem: string) {
    super(`line ${line}, column ${column}: ${placeholder}: ${problem}`);
    this.name = 'TemplateError';
    this.line = line;
    this.column = column;
    this.placeholder = placeholder;
  }
}

/** Factors to other units, by the unit that a value has. */
const CONVERSIONS: Readonly<Record<TemplateUnit, Readonly<Record<string, number>>>> = {
  '°/s': { 'deg/s': 1, 'rad/s': RAD_PER_DEG, 'mdeg/s': 1000, 'turns/s': 1 / 360 },
  ms: { ms: 1, s: 0.001, us: 1000 },
  g: { g: 1, mg: 1000, 'm/s2': STANDARD_GRAVITY_MPS2 },
  Hz: { Hz: 1 },
  '°': { deg: 1, rad: RAD_PER_DEG, turns: 1 / 360 },
  m: { m: 1, mm: 1000, cm: 100 },
  '': { '%': 100 },
};

const DECIMALS_AT_MOST = 15;

/**
 * A template filled in. `{{guard.speedDps}}` stands for a value by its name; behind the name may stand `in rad/s` (another
 * unit), `in samples` or `in samples at 208 Hz` (a time, rounded up as the detectors do), then `to 3 decimals`. `\{{` is
 * a plain `{{`. Nothing else is looked at, so that any syntax can stand around the placeholders.
 * @param rateHz  what `in samples` goes by where no rate is said.
 * @throws TemplateError  at the first placeholder that is not closed, names nothing, or asks for what cannot be had.
 */
export function fillTemplate(
  template: string,
  values: ReadonlyMap<string, TemplateValue>,
  rateHz: number,
): string {
  let out = '';
  let at = 0;
  for (;;) {
    const open = template.indexOf('{{', at);
    if (open < 0) return out + template.slice(at);
    if (template[open - 1] === '\\') {
      out += `${template.slice(at, open - 1)}{{`;
      at = open + 2;
      continue;
    }
    const close = template.indexOf('}}', open);
    const lineEnd = template.indexOf('\n', open);
    const isClosed = close >= 0 && (lineEnd < 0 || close < lineEnd);
    const end = isClosed ? close + 2 : lineEnd < 0 ? template.length : lineEnd;
    const placeholder = template.slice(open, end).trimEnd();
    const fail = (problem: string): never => {
      const before = template.slice(0, open);
      const line = before.split('\n').length;
      throw new TemplateError(line, open - before.lastIndexOf('\n'), placeholder, problem);
    };
    if (!isClosed) fail('it is not closed by }} in its line');
    out += template.slice(at, open) + filled(placeholder.slice(2, -2).trim(), values, rateHz, fail);
    at = end;
  }
}

const SHAPE = /^(\S+)(?:\s+in\s+(\S+)(?:\s+at\s+(\S+)\s+Hz)?)?(?:\s+to\s+(\d+)\s+decimals?)?$/;

function filled(
  inside: string,
  values: ReadonlyMap<string, TemplateValue>,
  rateHz: number,
  fail: (problem: string) => never,
): string {
  const parts = SHAPE.exec(inside);
  if (!parts) {
    return fail('write a name, then, where wanted, "in UNIT", "in samples at 208 Hz" and "to 3 decimals"');
  }
  const [, name = '', unit, rate, decimals] = parts;
  const value = values.get(name) ?? fail(unknownName(name, values));
  if (value.kind === 'text') {
    if (unit !== undefined || decimals !== undefined)
      fail(`${name} is a text: it has no unit and no decimals`);
    return value.value;
  }
  if (rate !== undefined && unit !== 'samples') fail('only "in samples" goes with "at ... Hz"');
  if (unit === 'samples') {
    if (decimals !== undefined) fail('samples are whole: leave out the decimals');
    return inSamples(name, value, rate === undefined ? rateHz : Number(rate), fail);
  }
  const number = value.value * factorTo(name, value.unit, unit, fail);
  if (decimals === undefined) return String(Number(number.toPrecision(12)));
  if (Number(decimals) > DECIMALS_AT_MOST) fail(`at most ${DECIMALS_AT_MOST} decimals can be had`);
  return number.toFixed(Number(decimals));
}

function factorTo(
  name: string,
  from: TemplateUnit,
  to: string | undefined,
  fail: (problem: string) => never,
): number {
  if (to === undefined) return 1;
  const units = CONVERSIONS[from];
  if (Object.hasOwn(units, to)) return units[to]!;
  const choices = [...Object.keys(units), ...(from === 'ms' ? ['samples'] : [])].join(', ');
  return fail(`${name} cannot be had in "${to}", only in ${choices}`);
}

function inSamples(
  name: string,
  { value, unit }: { readonly value: number; readonly unit: TemplateUnit },
  rateHz: number,
  fail: (problem: string) => never,
): string {
  if (unit !== 'ms') return fail(`${name} is no time, so it cannot be had in samples`);
  if (!(rateHz > 0 && rateHz < Infinity)) return fail('the rate must be a number above 0');
  return String(samplesFromMs(value, rateHz));
}

function unknownName(name: string, values: ReadonlyMap<string, TemplateValue>): string {
  const group = name.split('.')[0]!;
  const near = [...values.keys()].filter((one) => one.startsWith(`${group}.`));
  const names = near.length > 0 ? near : [...values.keys()];
  return `there is no such value; there are ${names.join(', ')}`;
}
