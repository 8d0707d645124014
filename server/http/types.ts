import type { IncomingMessage, ServerResponse } from 'node:http';
import type { FastifyBaseLogger, FastifyInstance, FastifyTypeProvider, RawServerDefault } from 'fastify';
import type { Static, TSchema } from 'typebox';
import type { Workspace } from '../store/workspace.ts';
import type { Jobs } from './jobs.ts';

/** Bodies, params and queries get the type of their schema. */
interface SchemaTypes extends FastifyTypeProvider {
  readonly validator: this['schema'] extends TSchema ? Static<this['schema']> : unknown;
  readonly serializer: this['schema'] extends TSchema ? Static<this['schema']> : unknown;
}

export type App = FastifyInstance<
  RawServerDefault,
  IncomingMessage,
  ServerResponse,
  FastifyBaseLogger,
  SchemaTypes
>;

/** The job that adds the demonstration takes. */
export interface DemoJob {
  /** While it runs. */
  id(): string | null;
  /** Begins it; all that are not there come in. @returns the job's id */
  start(): string;
}

/** What the routes work on. */
export interface Deps {
  readonly workspace: Workspace;
  readonly jobs: Jobs;
  readonly demo: DemoJob;
}
