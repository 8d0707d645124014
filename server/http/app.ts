import fastifyStatic from '@fastify/static';
import fastify, { type FastifyError, type FastifyReply, type FastifyRequest } from 'fastify';
import { answerBadHttp } from './answerBadHttp.ts';
import { describeError } from './describeError.ts';
import { guardRequest, SECURITY_HEADERS } from './guardRequest.ts';
import { archiveRoutes } from './routes/archives.ts';
import { candidateRoutes } from './routes/candidates.ts';
import { jobRoutes } from './routes/jobs.ts';
import { mappingRoutes } from './routes/mappings.ts';
import { recordingRoutes } from './routes/recordings.ts';
import { schemaRoutes } from './routes/schema.ts';
import { settingRoutes } from './routes/settings.ts';
import { sheetRoutes } from './routes/sheet.ts';
import { takeRoutes } from './routes/takes.ts';
import { uploadRoutes } from './routes/uploads.ts';
import { workspaceRoutes } from './routes/workspace.ts';
import type { ErrorBody } from './schemas.ts';
import type { App, Deps } from './types.ts';

interface AppOptions {
  /** Folder of the built page; null where only the API is wanted. */
  readonly webRoot: string | null;
  readonly logError: (error: unknown) => void;
}

/** Labels of an hour's take are well below this. */
const BODY_LIMIT_BYTES = 8 * 1024 * 1024;
/**
 * The schemas are the program's own, so a test checks them against their meta-schema, not every start; and code that
 * runs once a click is not worth optimizing. Together that was an eighth of the time from start to first answer.
 */
const QUICK_START = { validateSchema: false, code: { optimize: false } } as const;
const NOT_FOUND: ErrorBody = { code: 'NOT_FOUND', message: 'There is nothing at this address.' };

/** The only place that makes a server; `main.ts` and the tests call the same one. */
export async function buildApp(deps: Deps, options: AppOptions): Promise<App> {
  const app: App = fastify({
    bodyLimit: BODY_LIMIT_BYTES,
    forceCloseConnections: true,
    // Wrong is refused, never mended: no "12" that becomes 12, no misspelt key that is dropped.
    ajv: {
      customOptions: { coerceTypes: false, removeAdditional: false, useDefaults: false, ...QUICK_START },
    },
    clientErrorHandler: answerBadHttp,
    frameworkErrors: (error, _request, reply) => answerError(error, reply, options),
  });
  app.removeContentTypeParser('text/plain');
  app.addHook('onRequest', async (request, reply) => {
    reply.headers(SECURITY_HEADERS);
    guardRequest(request);
  });
  app.setErrorHandler((error, _request: FastifyRequest, reply) => answerError(error, reply, options));
  app.setNotFoundHandler((_request, reply) => reply.code(404).send(NOT_FOUND));

  await app.register(async (api: App) => addRoutes(api, deps), { prefix: '/api' });
  if (options.webRoot !== null) await servePage(app, options.webRoot);
  return app;
}

function addRoutes(api: App, deps: Deps): void {
  api.addHook('onRequest', async (_request, reply) => {
    reply.header('cache-control', 'no-store');
  });
  workspaceRoutes(api, deps);
  takeRoutes(api, deps);
  candidateRoutes(api, deps);
  archiveRoutes(api, deps);
  settingRoutes(api, deps);
  jobRoutes(api, deps);
  mappingRoutes(api, deps);
  recordingRoutes(api, deps);
  schemaRoutes(api);
  sheetRoutes(api, deps);
  api.register(async (scope: App) => uploadRoutes(scope, deps));
}

/** The names of built files carry their content's hash, so only the page itself is asked for anew. */
async function servePage(app: App, root: string): Promise<void> {
  await app.register(fastifyStatic, {
    root,
    redirect: false,
    dotfiles: 'ignore',
    cacheControl: false,
    setHeaders: (reply, path) => {
      const isHashed = /[\\/]assets[\\/]/.test(path);
      reply.header('cache-control', isHashed ? 'public, max-age=31536000, immutable' : 'no-cache');
    },
  });
}

function answerError(error: FastifyError | unknown, reply: FastifyReply, options: AppOptions): FastifyReply {
  const { status, body } = describeError(error);
  if (status === 500) options.logError(error);
  return reply.code(status).headers(SECURITY_HEADERS).send(body);
}
