import { WorkbenchError } from '../errors.ts';

export class JobNotFoundError extends WorkbenchError {
  readonly code = 'JOB_NOT_FOUND';
}

export class TooManyJobsError extends WorkbenchError {
  readonly code = 'TOO_MANY_JOBS';
}

/** A request that comes from another page or under another name. */
export class ForbiddenError extends WorkbenchError {
  readonly code: 'FORBIDDEN_HOST' | 'FORBIDDEN_ORIGIN';
  constructor(code: 'FORBIDDEN_HOST' | 'FORBIDDEN_ORIGIN', message: string) {
    super(message);
    this.code = code;
  }
}
