import { createReadStream } from 'node:fs';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { setTimeout as pause } from 'node:timers/promises';
import { UploadBrokenError } from '../../store/errors.ts';
import type { Follower, LiveNews } from '../../store/recordings/follow.ts';
import { fileNameOf } from '../../store/recordings/keepRecording.ts';
import { LOG_NAME } from '../../store/recordings/recordingFiles.ts';
import type { ListedRecording } from '../../store/recordings/recordings.ts';
import {
  IdParamsSchema,
  type LiveNewsBody,
  NewRecordingSchema,
  type RecordingBody,
  type RecordingsBody,
} from '../schemas.ts';
import type { App, Deps } from '../types.ts';

/** How often is looked for new rows while a page looks on. */
const LOOK_MS = 15;
/** Nothing new is told this often all the same, so that a page that has gone is noticed. */
const ALIVE_MS = 1000;

/** What is being recorded, and what waits to become a take. */
export function recordingRoutes(api: App, deps: Deps): void {
  const { recordings } = deps.workspace;
  api.post('/recordings', { schema: { body: NewRecordingSchema } }, async ({ body }, reply) => {
    const id = await recordings.ofPages.begin({ ...body, joins: true });
    return reply.code(201).send({ id });
  });

  api.register(async (scope: App) => receiving(scope, deps));

  api.get('/recordings', async (): Promise<RecordingsBody> => {
    const listed = await recordings.list();
    return { recordings: listed.map(bodyOf), kept: recordings.keptTakes };
  });

  api.get('/recordings/:id/live', { schema: { params: IdParamsSchema } }, async ({ params }, reply) => {
    const follower = await recordings.follow(params.id);
    return reply.type('text/event-stream').send(Readable.from(eventsOf(follower), { objectMode: false }));
  });

  api.get('/recordings/:id/log', { schema: { params: IdParamsSchema } }, async ({ params }, reply) => {
    const { folder, document } = await recordings.get(params.id);
    const name = `attachment; filename="${fileNameOf(document)}"`;
    reply.type('application/octet-stream').header('content-disposition', name);
    return reply.send(createReadStream(join(folder, LOG_NAME)));
  });

  api.post('/recordings/:id/stop', { schema: { params: IdParamsSchema } }, async ({ params }, reply) => {
    await recordings.requestStop(params.id);
    return reply.code(204).send();
  });

  api.delete('/recordings/:id', { schema: { params: IdParamsSchema } }, async ({ params }, reply) => {
    await recordings.remove(params.id);
    return reply.code(204).send();
  });
}

/** From a page that reads a device: what comes, and that the device went away or came back. */
function receiving(api: App, { workspace: { recordings } }: Deps): void {
  const byId = { schema: { params: IdParamsSchema } };
  api.removeAllContentTypeParsers();
  api.addContentTypeParser('application/octet-stream', { parseAs: 'buffer' }, (_request, body, done) =>
    done(null, body),
  );

  api.post('/recordings/:id/bytes', byId, async ({ params, body }, reply) => {
    if (!Buffer.isBuffer(body))
      throw new UploadBrokenError('The request is empty: send the bytes that came as its body.');
    recordings.ofPages.get(params.id).receive(body);
    return reply.code(204).send();
  });

  api.post('/recordings/:id/lost', byId, async ({ params }, reply) => {
    recordings.ofPages.get(params.id).lose();
    return reply.code(204).send();
  });

  api.post('/recordings/:id/back', byId, async ({ params }, reply) => {
    recordings.ofPages.get(params.id).resume();
    return reply.code(204).send();
  });
}

function bodyOf({ document, state }: ListedRecording): RecordingBody {
  const { id, source, title, performer, drill, startedAt, questions, events } = document;
  const last = events.findLast(({ kind }) => kind === 'lost' || kind === 'back');
  const timesAway = events.filter(({ kind }) => kind === 'lost').length;
  const isAway = state === 'running' && last?.kind === 'lost';
  return { id, source, title, performer, drill, startedAt, questions, state, isAway, timesAway };
}

async function* eventsOf(follower: Follower): AsyncGenerator<string> {
  let told = '';
  let toldMs = 0;
  try {
    for (;;) {
      const news = await follower.next();
      const state = JSON.stringify([news.sizeBytes, news.problems]);
      const isNews = news.batches.length > 0 || news.reading !== undefined || state !== told;
      if (isNews || performance.now() - toldMs > ALIVE_MS) {
        told = state;
        toldMs = performance.now();
        yield `data: ${JSON.stringify(wired(news))}\n\n`;
      }
      await pause(LOOK_MS);
    }
  } finally {
    await follower.close();
  }
}

function wired({ sizeBytes, reading, batches, problems }: LiveNews): LiveNewsBody {
  return {
    sizeBytes,
    ...(reading && { reading: { rateHz: reading.rateHz, mount: reading.mapping.mount } }),
    problems,
    batches: batches.map(({ timeUs, columns, power, deflection, tellsReleases, leftOut }) => ({
      timeUs: [...timeUs],
      columns: columns.map((column) => [...column]),
      power: [...power],
      deflection: deflection && [...deflection],
      tellsReleases,
      leftOut,
    })),
  };
}
