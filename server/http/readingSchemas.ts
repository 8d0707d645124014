/** How a log is read, as schemas: what is stated of it, and the mapping that comes of it. */
import { Type } from 'typebox';
import { ROLES } from '../engine/base/columnRoles.ts';
import { AXIS_NAMES } from '../engine/base/mount.ts';
import type { Bounds } from '../engine/base/statedBounds.ts';
import { STATED_RATE_HZ_AT_LEAST, STATED_RATE_HZ_AT_MOST } from '../engine/base/statedRate.ts';
import { CLOCK_USES, COLUMNS_AT_MOST, DELIMITER } from '../ingest/ground/types.ts';
import { ID } from '../store/ids.ts';

export const STRICT = { additionalProperties: false } as const;

export const text = (maxLength: number) => Type.String({ maxLength });
export const micros = () => Type.Integer({ minimum: 0, maximum: Number.MAX_SAFE_INTEGER });
const count = (maximum: number) => Type.Integer({ minimum: 0, maximum });
const columnIndex = () => count(COLUMNS_AT_MOST - 1);
export const id = () => Type.String({ pattern: ID.source });
export const oneOf = <T extends string>(...values: readonly T[]) => Type.Enum<T[]>([...values]);

// Reading a log

const axis = () => oneOf(...AXIS_NAMES);
const angle = () => Type.Number({ minimum: -180, maximum: 180 });
export const mount = () =>
  Type.Object(
    { tip: axis(), side: axis(), correctionDeg: Type.Optional(Type.Tuple([angle(), angle(), angle()])) },
    STRICT,
  );

const role = () => oneOf(...ROLES);

const rate = () => Type.Number({ minimum: STATED_RATE_HZ_AT_LEAST, maximum: STATED_RATE_HZ_AT_MOST });
export const bounded = ({ min, max }: Bounds) => Type.Number({ minimum: min, maximum: max });

export const overrides = () =>
  Type.Object(
    {
      rateHz: Type.Optional(rate()),
      clock: Type.Optional(oneOf(...CLOCK_USES)),
      timeUnit: Type.Optional(text(40)),
      accelUnit: Type.Optional(text(40)),
      gyroUnit: Type.Optional(text(40)),
      roles: Type.Optional(
        Type.Array(
          Type.Object(
            { file: count(63), index: columnIndex(), role: role(), unit: Type.Optional(text(40)) },
            STRICT,
          ),
          { maxItems: COLUMNS_AT_MOST },
        ),
      ),
      reversed: Type.Optional(
        Type.Array(Type.Object({ file: count(63), index: columnIndex() }, STRICT), {
          maxItems: COLUMNS_AT_MOST,
        }),
      ),
      mount: Type.Optional(mount()),
    },
    STRICT,
  );

export const mapping = () =>
  Type.Object(
    {
      files: Type.Array(
        Type.Object(
          {
            name: text(255),
            delimiter: Type.String({ minLength: 1, maxLength: 1, pattern: DELIMITER.source }),
            decimal: oneOf('.', ','),
            headerLine: Type.Union([Type.Integer({ minimum: 1 }), Type.Null()]),
            firstDataLine: Type.Integer({ minimum: 1 }),
            comment: Type.Union([text(8), Type.Null()]),
            columnCount: Type.Integer({ minimum: 1, maximum: COLUMNS_AT_MOST }),
          },
          STRICT,
        ),
        { minItems: 1, maxItems: 64 },
      ),
      columns: Type.Array(
        Type.Object(
          {
            file: count(63),
            index: columnIndex(),
            name: text(1000),
            role: role(),
            unit: text(40),
            reason: text(4000),
            notes: Type.Optional(Type.Array(text(4000), { maxItems: 100 })),
            reversed: Type.Optional(Type.Boolean()),
          },
          STRICT,
        ),
        { maxItems: 8192 },
      ),
      rateHz: Type.Union([rate(), Type.Null()]),
      rateReason: text(4000),
      clock: Type.Optional(oneOf(...CLOCK_USES)),
      evenHz: Type.Optional(rate()),
      mount: mount(),
      mountReason: text(4000),
      isMountAssumed: Type.Optional(Type.Boolean()),
    },
    STRICT,
  );
