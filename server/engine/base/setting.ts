/** What a setting is: its bounds and its names. A detector's own file describes all of its settings with these. */

/** A setting that came later: the first version of a document with it, and the value that stands for it in older ones. */
interface Growth<Value> {
  readonly since: number;
  /** With this, all goes as it did without the setting. */
  readonly before: Value;
}

export interface NumberSetting {
  readonly kind: 'number';
  readonly byDefault: number;
  /** Bounds, both allowed. */
  readonly min: number;
  readonly max: number;
  /** How far a slider reaches; what is larger is typed. */
  readonly sliderMax: number;
  /** What an arrow key adds; no value has to be a multiple of it. */
  readonly step: number;
  /** '' where the number has none. */
  readonly unit: '°/s' | 'ms' | 'g' | 'Hz' | '°' | '';
  /** In a narrow panel, under the heading of its detector. */
  readonly name: string;
  /** What it means; it stands alone and is followed by the value. */
  readonly label: string;
  /** The setting, by its path, that this ratio is taken of. */
  readonly partOf?: string;
  /** It matters only where another setting, by its path, has one of these values. */
  readonly onlyWith?: { readonly path: string; readonly values: readonly (string | number)[] };
  readonly growth?: Growth<number>;
}

export interface ChoiceSetting<Value extends string | number = string | number> {
  readonly kind: 'choice';
  readonly byDefault: Value;
  /** Each value with its name. */
  readonly choices: readonly (readonly [Value, string])[];
  readonly unit: '';
  readonly name: string;
  readonly label: string;
  readonly growth?: Growth<Value>;
}

export type Setting = NumberSetting | ChoiceSetting;

/** The values of a group of settings. */
export type ValuesOf<Group> = {
  readonly [Name in keyof Group]: Group[Name] extends ChoiceSetting<infer Value> ? Value : number;
};

type Numbers = Pick<NumberSetting, 'byDefault' | 'min' | 'max' | 'sliderMax' | 'step' | 'unit'>;
type More = Pick<NumberSetting, 'partOf' | 'onlyWith' | 'growth'>;

export function number(numbers: Numbers, name: string, label: string, more: More = {}): NumberSetting {
  return { kind: 'number', ...numbers, name, label, ...more };
}

export function choice<const Value extends string | number>(
  byDefault: Value,
  choices: readonly (readonly [Value, string])[],
  name: string,
  label: string,
  more: Pick<ChoiceSetting<Value>, 'growth'> = {},
): ChoiceSetting<Value> {
  return { kind: 'choice', byDefault, choices, unit: '', name, label, ...more };
}
