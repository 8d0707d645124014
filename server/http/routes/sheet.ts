import { PROGRAM_VERSION } from '../../engine/base/version.ts';
import { fileNameOf } from '../../engine/export/fileName.ts';
import { SHEET_POLICY, sheetHtml } from '../../engine/export/sheet/html.ts';
import { sheetMarkdown } from '../../engine/export/sheet/markdown.ts';
import { sheetOf } from '../../engine/export/sheet/sheet.ts';
import type { KeptSetting } from '../../engine/kept/keptSetting.ts';
import { changesSince } from '../../engine/kept/stale.ts';
import { IdParamsSchema } from '../schemas.ts';
import type { App, Deps } from '../types.ts';
import { encodeName } from './takes.ts';

/** A kept setting as a sheet to look at, print and save. */
export function sheetRoutes(api: App, { workspace: { settings, takes } }: Deps): void {
  const byId = { params: IdParamsSchema };
  const sheetNow = (setting: KeptSetting) =>
    sheetOf(setting, changesSince(setting, takes.list(), PROGRAM_VERSION));

  api.get('/settings/:id/sheet', { schema: byId }, async ({ params }, reply) => {
    const setting = settings.get(params.id);
    // The sheet's style stands in it; nothing else is allowed.
    reply.header('content-security-policy', SHEET_POLICY).type('text/html; charset=utf-8');
    reply.header(
      'content-disposition',
      `inline; filename*=UTF-8''${encodeName(fileNameOf(setting.name))}.html`,
    );
    return reply.send(sheetHtml(sheetNow(setting)));
  });

  api.get('/settings/:id/sheet.md', { schema: byId }, async ({ params }, reply) => {
    const setting = settings.get(params.id);
    reply.type('text/markdown; charset=utf-8');
    reply.header(
      'content-disposition',
      `inline; filename*=UTF-8''${encodeName(fileNameOf(setting.name))}.md`,
    );
    return reply.send(sheetMarkdown(sheetNow(setting)));
  });
}
