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

/** What the routes work on. */
export interface Deps {
  readonly workspace: Workspace;
  readonly jobs: Jobs;
  /** The job that adds the demonstration takes, while it runs. */
  readonly demoJobId: () => string | null;
}
