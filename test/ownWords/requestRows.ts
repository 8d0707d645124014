import { connect } from 'node:net';
import { Readable } from 'node:stream';
import { expect } from 'vitest';
import { archiveOf } from '../../server/store/archive/writeArchive.ts';
import { endOfJob } from '../http/testApp.ts';
import { smallLog } from '../store/smallLog.ts';
import { addSmallTake, uploadText } from '../store/temporaryWorkspace.ts';
import type { Row } from './runningRows.ts';
import { job, newTake, numbersLost, said, threeAtOnce } from './said.ts';

/** The same of what is asked: logs, mappings, requests. */
export const REQUESTS: readonly Row[] = [
  [
    'a mapping without one axis',
    async ({ app, workspace }) => {
      const { mapping, ...body } = await newTake(workspace);
      const columns = mapping.columns.filter(({ role }) => role !== 'gyroY');
      return job(app, '/api/takes', { ...body, mapping: { ...mapping, columns } });
    },
    422,
    'MAPPING',
    'gyroY',
  ],
  [
    'a mapping whose time has a unit that is none',
    async ({ app, workspace }) => {
      const { mapping, ...body } = await newTake(workspace);
      const columns = mapping.columns.map((column) =>
        column.role === 'time' ? { ...column, unit: '\n' } : column,
      );
      return job(app, '/api/takes', { ...body, mapping: { ...mapping, columns } });
    },
    422,
    'MAPPING',
    'no unit',
  ],
  [
    'a mapping whose time counts rows, without a rate',
    async ({ app, workspace }) => {
      const { mapping, ...body } = await newTake(workspace);
      const columns = mapping.columns.map((column) =>
        column.role === 'time' ? { ...column, unit: 'counter' } : column,
      );
      return job(app, '/api/takes', { ...body, mapping: { ...mapping, columns } });
    },
    422,
    'MAPPING',
    'no rate is stated',
  ],
  [
    'a scale of 1e-300 codes',
    async ({ app, workspace }) => {
      const { mapping, ...body } = await newTake(workspace);
      const columns = mapping.columns.map((column) =>
        column.role.startsWith('gyro') ? { ...column, unit: 'lsb:1e-300' } : column,
      );
      return job(app, '/api/takes', { ...body, mapping: { ...mapping, columns } });
    },
    422,
    'MAPPING',
    'no unit',
  ],
  [
    'one zip that is brought in three times at once: one is, two are told',
    async ({ app, workspace }) => {
      const { id } = await addSmallTake(workspace);
      const parts: Uint8Array[] = [];
      for await (const part of await archiveOf(workspace, null, new Date(0).toISOString())) parts.push(part);
      await workspace.takes.remove(id);
      const zip = await workspace.uploads.receive('a.zip', Readable.from(parts));
      return threeAtOnce({ app, workspace }, '/api/archives', { uploadId: zip.uploadId });
    },
    404,
    'UPLOAD_NOT_FOUND',
    'Choose the file again',
  ],
  [
    'a rate of 1e-300',
    async ({ app, workspace }) => {
      const uploadIds = [await uploadText(workspace, smallLog())];
      return job(app, '/api/previews', { uploadIds, overrides: { rateHz: 1e-300 } });
    },
    400,
    'INVALID_REQUEST',
    'rateHz',
  ],
  [
    'a log with 1e200 in a cell',
    async ({ app, workspace }) => {
      const lines = smallLog().split('\n');
      lines[50] = lines[50]!.replace(/,0.999,/, ',1e200,');
      const uploadIds = [await uploadText(workspace, lines.join('\n'))];
      const jobId = (
        await app.inject({ method: 'POST', url: '/api/previews', payload: { uploadIds, overrides: {} } })
      ).json().jobId;
      const end = await endOfJob(app, jobId);
      expect(
        numbersLost(JSON.parse(JSON.stringify(end.result)), (end.result as { report: object }).report),
      ).toEqual([]);
      return { status: end.state === 'done' ? 200 : 422 };
    },
    200,
    undefined,
    '',
  ],
  [
    'a host name in capitals',
    async ({ app }) => said(await app.inject({ url: '/api/workspace', headers: { host: 'LOCALHOST:4620' } })),
    200,
    undefined,
    '',
  ],
  [
    'headers that are too long',
    async ({ app }) => {
      await app.listen({ port: 0, host: '127.0.0.1' });
      const { port } = app.server.address() as { port: number };
      const socket = connect(port, '127.0.0.1');
      socket.write(
        `GET /api/workspace HTTP/1.1\r\nhost: localhost\r\nx-long: ${'x'.repeat(100_000)}\r\n\r\n`,
      );
      let text = '';
      for await (const chunk of socket) text += chunk;
      const [head = '', body = '{}'] = text.split('\r\n\r\n');
      return { status: Number(head.split(' ')[1]), ...JSON.parse(body) };
    },
    431,
    'HEADERS_TOO_LONG',
    'longer than',
  ],
];
