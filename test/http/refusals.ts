import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { TakeDocument } from '../../server/store/documents.ts';
import { smallLog } from '../store/smallLog.ts';
import { addSmallTake, uploadText } from '../store/temporaryWorkspace.ts';
import { makeTestApp } from './testApp.ts';

/** A request that is refused. TAKE and UPLOAD in it stand for the ids of a take and an upload that are there. */
export interface Refusal {
  readonly method: 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE' | 'OPTIONS';
  readonly url: string;
  readonly body?: unknown;
  readonly headers?: Record<string, string>;
  readonly status: number;
  readonly code: string;
  /** Part of the message or the path. */
  readonly says?: string;
}

export const INVALID = { status: 400, code: 'INVALID_REQUEST' } as const;

/** Every refusal has its status, its code and a message, and changes nothing. */
export function describeRefusals(what: string, rows: Readonly<Record<string, Refusal>>): void {
  describe(`${what}: every refusal has its status, its code and a message, and changes nothing`, () => {
    // One server for all rows: what a row must not change, it may not change for the next one either.
    let shared: Awaited<ReturnType<typeof makeTestApp>>;
    let before: TakeDocument;
    let uploadId = '';
    beforeAll(async () => {
      shared = await makeTestApp();
      before = await addSmallTake(shared.workspace);
      uploadId = await uploadText(shared.workspace, smallLog());
    });
    afterAll(() => shared.close());

    test.each(Object.entries(rows))('%s', async (_claim, row) => {
      const { app, workspace, logged } = shared;
      const fill = (text: string): string => text.replace('TAKE', before.id).replace('UPLOAD', uploadId);
      const isJson = row.body !== undefined && row.headers === undefined;
      const response = await app.inject({
        method: row.method,
        url: fill(row.url),
        headers: isJson ? { 'content-type': 'application/json' } : (row.headers ?? {}),
        ...(row.body !== undefined && {
          payload: isJson ? fill(JSON.stringify(row.body)) : String(row.body),
        }),
      });
      const body = response.json();
      expect([response.statusCode, body.code]).toEqual([row.status, row.code]);
      expect(body.message).toMatch(/^.{10,}$/s);
      expect(`${body.message} ${body.path}`).toContain(row.says ?? '');
      expect(Object.keys(body).filter((key) => !['code', 'message', 'path'].includes(key))).toEqual([]);
      expect(response.headers['content-type']).toBe('application/json; charset=utf-8');
      expect(logged).toEqual([]);
      expect(workspace.takes.get(before.id)).toEqual(before);
      expect(workspace.candidates.get().revision).toBe(0);
    });
  });
}
