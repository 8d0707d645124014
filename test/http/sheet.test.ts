import { expect, test } from 'vitest';
import { madeSetting } from '../engine/kept/madeSetting.ts';
import { testApp } from './testApp.ts';

test('a kept setting’s sheet is served by itself: its style stands in it, and nothing else may load or run', async () => {
  const { app, workspace } = await testApp();
  const { id } = await workspace.settings.add(madeSetting({ name: 'Gala “A”' }));
  const page = await app.inject(`/api/settings/${id}/sheet`);
  expect(page.statusCode).toBe(200);
  expect(page.headers['content-type']).toBe('text/html; charset=utf-8');
  expect(page.headers['content-security-policy']).toBe("default-src 'none'; style-src 'unsafe-inline'");
  expect(page.headers['x-content-type-options']).toBe('nosniff');
  expect(page.headers['content-disposition']).toBe("inline; filename*=UTF-8''Gala%20-A.html");
  expect(page.body).toContain('<h1>Gala “A”</h1>');
  const text = await app.inject(`/api/settings/${id}/sheet.md`);
  expect(text.body).toContain('# Gala “A”');
  for (const ending of ['sheet', 'sheet.md'])
    expect((await app.inject(`/api/settings/none/${ending}`)).statusCode).toBe(404);
  // The takes that it was judged on are not in this workspace.
  for (const { body } of [page, text]) expect(body).toContain('Out of date. No longer among its takes: ');
});
