import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect } from 'vitest';
import type { Workspace } from '../../server/store/workspace.ts';
import { endOfJob, type TestApp } from '../http/testApp.ts';
import { smallLog } from '../store/smallLog.ts';
import { uploadText } from '../store/temporaryWorkspace.ts';

export interface Said {
  readonly status: number;
  readonly code?: string;
  readonly message?: string;
}

export function said(response: { statusCode: number; body: string; headers: Record<string, unknown> }): Said {
  const isJson = String(response.headers['content-type']).startsWith('application/json');
  const { code, message } = isJson ? JSON.parse(response.body) : {};
  return { status: response.statusCode, code, message };
}

export async function sendUpload(app: TestApp['app']): Promise<Said> {
  const headers = { 'content-type': 'application/octet-stream' };
  return said(
    await app.inject({ method: 'POST', url: '/api/uploads?name=a.csv', headers, payload: smallLog() }),
  );
}

export async function patch(app: TestApp['app'], id: string, revision: number, notes: string): Promise<Said> {
  return said(await app.inject({ method: 'PATCH', url: `/api/takes/${id}`, payload: { revision, notes } }));
}

export async function newTake(workspace: Workspace) {
  const uploadIds = [await uploadText(workspace, smallLog())];
  const { mapping } = await workspace.preview(uploadIds, {}, {});
  return { uploadIds, mapping, title: 'Slow carry', performer: '', drill: '' };
}

/** How a job ends: as an answer of status 200, or as the error that it would have been. */
export async function job(app: TestApp['app'], url: string, payload: object): Promise<Said> {
  const started = await app.inject({ method: 'POST', url, payload });
  if (started.statusCode !== 202) return said(started);
  const end = await endOfJob(app, started.json().jobId);
  return end.error ? { status: STATUS[end.error.code] ?? 0, ...end.error } : { status: 200 };
}

/** Three jobs that ask the same in one moment: one does it, and the other two are told alike. @returns what they are told */
export async function threeAtOnce(
  { app, workspace }: Pick<TestApp, 'app' | 'workspace'>,
  url: string,
  payload: object,
): Promise<Said> {
  const ends = await Promise.all([1, 2, 3].map(() => job(app, url, payload)));
  expect(ends.map(({ status }) => status).sort()).toEqual([200, 404, 404]);
  expect(workspace.takes.list()).toHaveLength(1);
  return ends.find(({ status }) => status !== 200)!;
}

/** As `describeError` has them; a job's error carries its code alone. */
const STATUS: Readonly<Record<string, number>> = {
  UPLOAD_NOT_FOUND: 404,
  DISK_FULL: 507,
  DISK_REFUSED: 507,
  MAPPING: 422,
  LOG_FORMAT: 422,
  INTERNAL: 500,
};

export function copyTake(from: string, to: string, notes: string): void {
  mkdirSync(to);
  writeFileSync(
    join(to, 'take.json'),
    JSON.stringify({ ...JSON.parse(readFileSync(join(from, 'take.json'), 'utf8')), notes }),
  );
}

/** Places where a number was sent and null arrives. */
export function numbersLost(_wire: object, report: object): string[] {
  return Object.entries(report)
    .filter(([, value]) => typeof value === 'number' && !Number.isFinite(value))
    .map(([name]) => name);
}
