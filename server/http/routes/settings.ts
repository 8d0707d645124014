import { readSettingFile } from '../../store/settingFile.ts';
import {
  IdParamsSchema,
  NewSettingSchema,
  PutSettingSchema,
  SettingFileSchema,
  type SettingsBody,
  type StoredSetting,
} from '../schemas.ts';
import type { App, Deps } from '../types.ts';

export function settingRoutes(api: App, { workspace: { settings } }: Deps): void {
  const byId = { params: IdParamsSchema };

  api.get('/settings', async (): Promise<SettingsBody> => {
    return { settings: settings.list(), problems: settings.problems };
  });

  api.post('/settings', { schema: { body: NewSettingSchema } }, async ({ body }, reply) => {
    return reply.code(201).send((await settings.add(body)) satisfies StoredSetting);
  });

  api.post('/settings/files', { schema: { body: SettingFileSchema } }, async ({ body }, reply) => {
    return reply.code(201).send((await settings.add(readSettingFile(body.text))) satisfies StoredSetting);
  });

  api.put('/settings/:id', { schema: { ...byId, body: PutSettingSchema } }, async ({ params, body }) => {
    const { revision, ...setting } = body;
    return settings.put(params.id, revision, setting);
  });

  api.delete('/settings/:id', { schema: byId }, async ({ params }, reply) => {
    await settings.remove(params.id);
    return reply.code(204).send();
  });

  api.post('/settings/:id/restore', { schema: byId }, async ({ params }) => settings.restore(params.id));
}
