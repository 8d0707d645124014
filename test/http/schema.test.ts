import { expect, test } from 'vitest';
import { settingSchema } from '../../server/engine/kept/schema.ts';
import { testApp } from './testApp.ts';

test('the schema of a kept setting’s file is served', async () => {
  const { app } = await testApp();
  const response = await app.inject('/api/schemas/setting.json');
  expect(response.headers['content-type']).toBe('application/schema+json; charset=utf-8');
  expect(response.json()).toEqual(settingSchema());
});
