import { fileNameOf } from '../../engine/export/fileName.ts';
import { SHEET_POLICY, sheetHtml } from '../../engine/export/sheet/html.ts';
import { sheetMarkdown } from '../../engine/export/sheet/markdown.ts';
import { sheetOf } from '../../engine/export/sheet/sheet.ts';
import { IdParamsSchema } from '../schemas.ts';
import type { App, Deps } from '../types.ts';
import { encodeName } from './takes.ts';

/** A kept setting as a sheet to look at, print and save. */
export function sheetRoutes(api: App, { workspace: { settings } }: Deps): void {
  const byId = { params: IdParamsSchema };

  api.get('/settings/:id/sheet', { schema: byId }, async ({ params }, reply) => {
    const setting = settings.get(params.id);
    // The sheet's style stands in it; nothing else is allowed.
    reply.header('content-security-policy', SHEET_POLICY).type('text/html; charset=utf-8');
    reply.header(
      'content-disposition',
      `inline; filename*=UTF-8''${encodeName(fileNameOf(setting.name))}.html`,
    );
    return reply.send(sheetHtml(sheetOf(setting)));
  });

  api.get('/settings/:id/sheet.md', { schema: byId }, async ({ params }, reply) => {
    const setting = settings.get(params.id);
    reply.type('text/markdown; charset=utf-8');
    reply.header(
      'content-disposition',
      `inline; filename*=UTF-8''${encodeName(fileNameOf(setting.name))}.md`,
    );
    return reply.send(sheetMarkdown(sheetOf(setting)));
  });
}
