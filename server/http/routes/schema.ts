import { settingSchema } from '../../engine/kept/schema.ts';
import type { App } from '../types.ts';

/** The published schema of a kept setting's file. */
export function schemaRoutes(api: App): void {
  api.get('/schemas/setting.json', async (_request, reply) => {
    reply.header('content-type', 'application/schema+json; charset=utf-8');
    return reply.send(`${JSON.stringify(settingSchema(), null, 2)}\n`);
  });
}
