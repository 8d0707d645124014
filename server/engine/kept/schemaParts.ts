/** A JSON Schema, or a part of one, of draft 2020-12. */
export type JsonSchema = Readonly<Record<string, unknown>>;

interface Described {
  readonly title: string;
  readonly description?: string;
}

/** An object that has all of these and nothing else. */
export function objectOf(
  title: string,
  properties: Readonly<Record<string, JsonSchema>>,
  more: JsonSchema = {},
): JsonSchema {
  const required = Object.keys(properties);
  return { type: 'object', title, properties, required, additionalProperties: false, ...more };
}

/** An object whose names are among these, any of them missing. */
export function someOf(title: string, names: readonly string[], value: JsonSchema): JsonSchema {
  return {
    type: 'object',
    title,
    properties: Object.fromEntries(names.map((name) => [name, value])),
    additionalProperties: false,
  };
}

export function listOf(title: string, items: JsonSchema, more: JsonSchema = {}): JsonSchema {
  return { type: 'array', title, items, ...more };
}

/** The same, or null. */
export function orNull(schema: JsonSchema): JsonSchema {
  return { ...schema, type: [...[schema['type']].flat(), 'null'] };
}

/** A name: one line. */
export function line(described: Described, maxLength: number, minLength = 0): JsonSchema {
  return { type: 'string', ...described, minLength, maxLength, pattern: '^[^\\p{Cc}]*$' };
}

export function text(described: Described, maxLength: number): JsonSchema {
  return { type: 'string', ...described, maxLength };
}

export function moment(described: Described): JsonSchema {
  const pattern = '^\\d{4}-\\d\\d-\\d\\dT\\d\\d:\\d\\d:\\d\\d(\\.\\d+)?(Z|[+-]\\d\\d:\\d\\d)$';
  return { type: 'string', ...described, pattern, examples: ['2026-05-01T18:30:00.000Z'] };
}

export function whole(title: string): JsonSchema {
  return { type: 'integer', title, minimum: 0 };
}

export function number(title: string, more: JsonSchema = {}): JsonSchema {
  return { type: 'number', title, ...more };
}

export const from0 = (title: string) => number(title, { minimum: 0 });
export const share = (title: string) => number(title, { minimum: 0, maximum: 1 });
