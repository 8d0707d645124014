import { describe, expect, test } from 'vitest';
import type { TakeDocument } from '../../server/store/documents.ts';
import { DiskFullError, fromSystemError } from '../../server/store/errors.ts';
import { describeRefusals } from './refusals.ts';
import { testApp } from './testApp.ts';

describeRefusals('addresses', {
  'an unknown address of the API': { method: 'GET', url: '/api/nothing', status: 404, code: 'NOT_FOUND' },
  'an unknown address outside it': { method: 'GET', url: '/nothing', status: 404, code: 'NOT_FOUND' },
  'the bare API': { method: 'GET', url: '/api', status: 404, code: 'NOT_FOUND' },
  'a method that an address does not know': {
    method: 'PUT',
    url: '/api/workspace',
    status: 404,
    code: 'NOT_FOUND',
  },
  'an address that is not well formed': {
    method: 'GET',
    url: '/api/takes/%zz',
    status: 400,
    code: 'BAD_REQUEST',
  },
});

describe('a bug', () => {
  test('is told of without its inside, and in full on the terminal', async () => {
    const { app, workspace, logged } = await testApp();
    const secret = new Error(`the secret of ${workspace.path}`);
    workspace.takes.get = (): TakeDocument => {
      throw secret;
    };
    const response = await app.inject('/api/takes/any');
    expect(response.statusCode).toBe(500);
    expect(response.json()).toEqual({ code: 'INTERNAL', message: expect.stringContaining('terminal') });
    expect(response.body).not.toContain('secret');
    expect(logged).toEqual([secret]);
  });

  test('of the system is no refusal either, whatever its own code', async () => {
    const { app, workspace } = await testApp();
    workspace.takes.get = (): TakeDocument => {
      throw Object.assign(new Error('EPROTO: /secret'), { code: 'EPROTO', statusCode: 400 });
    };
    const response = await app.inject('/api/takes/any');
    expect([response.statusCode, response.json().code]).toEqual([500, 'INTERNAL']);
  });

  test('that is a full disk is said to be one', async () => {
    const { app, workspace } = await testApp();
    const full = fromSystemError(Object.assign(new Error('ENOSPC: write'), { code: 'ENOSPC' }));
    expect(full).toBeInstanceOf(DiskFullError);
    workspace.takes.change = () => Promise.reject(full);
    const response = await app.inject({ method: 'PATCH', url: '/api/takes/any', payload: { revision: 0 } });
    expect([response.statusCode, response.json().code]).toEqual([507, 'DISK_FULL']);
  });
});
