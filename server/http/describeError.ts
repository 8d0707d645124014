import type { FastifyError } from 'fastify';
import { CandidateError } from '../engine/settings/candidateRules.ts';
import { WorkbenchError } from '../errors.ts';
import { fromSystemError } from '../store/errors.ts';
import type { ErrorBody } from './schemas.ts';

/** The one place that says which failure is which status. */
const STATUS: Readonly<Record<string, number>> = {
  LOG_FORMAT: 422,
  MAPPING: 422,
  SETTING: 422,
  TAKE_CHANGE: 422,
  TAKE_NOT_FOUND: 404,
  UPLOAD_NOT_FOUND: 404,
  MAPPING_NOT_FOUND: 404,
  RECORDING_NOT_FOUND: 404,
  RECORDING_STATE: 409,
  SETTING_NOT_FOUND: 404,
  JOB_NOT_FOUND: 404,
  STORE_CONFLICT: 409,
  STORE_CORRUPT: 422,
  CANCELLED: 409,
  UPLOAD_TOO_LARGE: 413,
  UPLOAD_BROKEN: 400,
  TOO_MANY_JOBS: 429,
  DISK_FULL: 507,
  DISK_REFUSED: 507,
  FORBIDDEN_HOST: 403,
  FORBIDDEN_ORIGIN: 403,
};

/** Fastify's own refusals in the words of this program. */
const REFUSALS: Readonly<Record<string, ErrorBody>> = {
  FST_ERR_CTP_INVALID_MEDIA_TYPE: { code: 'MEDIA_TYPE', message: 'This kind of body is not taken here.' },
  FST_ERR_CTP_BODY_TOO_LARGE: { code: 'BODY_TOO_LARGE', message: 'The body is larger than is taken here.' },
  FST_ERR_CTP_EMPTY_JSON_BODY: { code: 'BAD_JSON', message: 'The body is empty where JSON was announced.' },
  FST_ERR_CTP_INVALID_JSON_BODY: { code: 'BAD_JSON', message: 'The body is no valid JSON.' },
};

interface DescribedError {
  readonly status: number;
  readonly body: ErrorBody;
}

const INTERNAL: DescribedError = {
  status: 500,
  body: { code: 'INTERNAL', message: 'Something went wrong in the server. Its terminal says what.' },
};

/** What a client is told of an error. A bug's own message is never part of it. */
export function describeError(thrown: unknown): DescribedError {
  const error = fromSystemError(thrown);
  if (error instanceof WorkbenchError) return describeKnown(error);
  if (error instanceof CandidateError) {
    return { status: 422, body: { code: 'CANDIDATE', message: error.message, path: error.path } };
  }
  return isRefusal(error) ? describeRefusal(error) : INTERNAL;
}

function describeKnown(error: WorkbenchError): DescribedError {
  const status = STATUS[error.code];
  if (status === undefined) return INTERNAL;
  const at: { file?: string | null; line?: number | null; column?: number | null; path?: string } =
    error as object;
  return {
    status,
    body: {
      code: error.code,
      message: error.message,
      ...(at.file != null && { file: at.file }),
      ...(at.line != null && { line: at.line }),
      ...(at.column != null && { column: at.column }),
      ...(at.path !== undefined && { path: at.path }),
    },
  };
}

function describeRefusal(error: FastifyError & { statusCode: number }): DescribedError {
  const status = error.statusCode;
  const [failure] = error.validation ?? [];
  if (!failure)
    return { status, body: REFUSALS[error.code] ?? { code: 'BAD_REQUEST', message: error.message } };
  const path = `${error.validationContext ?? 'body'}${failure.instancePath}`;
  const problem = `${failure.message ?? 'is not valid'}${detail(failure.params)}`;
  return { status, body: { code: 'INVALID_REQUEST', message: `${path} ${problem}.`, path } };
}

function detail(params: Record<string, unknown>): string {
  if (typeof params.additionalProperty === 'string') return ` ("${params.additionalProperty}")`;
  if (Array.isArray(params.allowedValues)) return `: ${params.allowedValues.join(', ')}`;
  return '';
}

/** A status below 500 with which Fastify itself turned the request away. */
function isRefusal(error: unknown): error is FastifyError & { statusCode: number } {
  if (!(error instanceof Error) || !('code' in error && 'statusCode' in error)) return false;
  const { code, statusCode } = error;
  return (
    typeof code === 'string' && code.startsWith('FST_') && typeof statusCode === 'number' && statusCode < 500
  );
}
