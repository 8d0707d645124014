import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect } from 'vitest';
import { type TestApp, upload } from '../http/testApp.ts';
import { noInodes, onFaultyDisk, readOnly } from '../store/faultyDisk.ts';
import { smallLog } from '../store/smallLog.ts';
import { addSmallTake } from '../store/temporaryWorkspace.ts';
import { copyTake, job, newTake, patch, type Said, said, sendUpload, threeAtOnce } from './said.ts';

/** What goes wrong while the server runs: what is done, the answer's status and code, and a part of what it says. */
export type Row = readonly [
  claim: string,
  act: (test: TestApp) => Promise<Said>,
  status: number,
  code: string | undefined,
  says: string,
];

export const RUNNING: readonly Row[] = [
  [
    'an upload without a body',
    async ({ app }) => said(await app.inject({ method: 'POST', url: '/api/uploads?name=a.csv' })),
    400,
    'UPLOAD_BROKEN',
    'empty',
  ],
  [
    'bytes of a recording without a body',
    async ({ app }) => {
      const names = { source: 'port', title: 'T', performer: '', drill: '' };
      const { id } = (await app.inject({ method: 'POST', url: '/api/recordings', payload: names })).json();
      return said(await app.inject({ method: 'POST', url: `/api/recordings/${id}/bytes` }));
    },
    400,
    'UPLOAD_BROKEN',
    'empty',
  ],
  [
    'an upload on a disk without inodes',
    ({ app }) => onFaultyDisk(noInodes, () => sendUpload(app)),
    507,
    'DISK_FULL',
    'files',
  ],
  [
    'an upload on a disk that became read-only',
    ({ app }) => onFaultyDisk(readOnly, () => sendUpload(app)),
    507,
    'DISK_REFUSED',
    'read-only',
  ],
  [
    'a change of a take on a disk that became read-only',
    async ({ app, workspace }) => {
      const { id } = await addSmallTake(workspace);
      const answer = await onFaultyDisk(readOnly, () => patch(app, id, 0, 'windy'));
      expect(workspace.takes.get(id).revision).toBe(0);
      return answer;
    },
    507,
    'DISK_REFUSED',
    'read-only',
  ],
  [
    'a recording on a disk that became read-only',
    ({ app }) =>
      onFaultyDisk(readOnly, async () =>
        said(
          await app.inject({
            method: 'POST',
            url: '/api/recordings',
            payload: { source: 'port', title: 'T', performer: '', drill: '' },
          }),
        ),
      ),
    507,
    'DISK_REFUSED',
    'read-only',
  ],
  [
    'a take that is added to a disk without inodes',
    async ({ app, workspace }) => {
      const body = await newTake(workspace);
      return onFaultyDisk(noInodes, () => job(app, '/api/takes', body));
    },
    507,
    'DISK_FULL',
    'files',
  ],
  [
    'one upload that is added as a take three times at once: one is, two are told',
    async ({ app, workspace }) => {
      const body = await newTake(workspace);
      return threeAtOnce({ app, workspace }, '/api/takes', body);
    },
    404,
    'UPLOAD_NOT_FOUND',
    'Choose the file again',
  ],
  [
    'an upload whose name has 255 characters of four bytes each',
    async ({ app, workspace }) => {
      const name = `${'🗡'.repeat(120)}.csv`;
      const uploadId = await upload(app, smallLog(), name);
      const { mapping } = await workspace.preview([uploadId], {}, {});
      const body = { uploadIds: [uploadId], mapping, title: '🗡'.repeat(100), performer: '', drill: '' };
      const end = await job(app, '/api/takes', body);
      expect(workspace.takes.get(workspace.takes.list()[0]!.id).sources[0]!.name).toBe(name);
      return end;
    },
    200,
    undefined,
    '',
  ],
  [
    'removing a take of which a copy lies in the trash: both are kept',
    async ({ app, workspace }) => {
      const { id } = await addSmallTake(workspace);
      copyTake(join(workspace.path, 'takes', id), join(workspace.path, 'trash', id), 'older notes');
      const answer = said(await app.inject({ method: 'DELETE', url: `/api/takes/${id}` }));
      const texts = readdirSync(join(workspace.path, 'trash')).map((name) =>
        readFileSync(join(workspace.path, 'trash', name, 'take.json'), 'utf8'),
      );
      expect(texts.filter((text) => text.includes('older notes'))).toHaveLength(1);
      expect(texts).toHaveLength(2);
      for (const removed of (await workspace.takes.removed()).takes)
        await workspace.takes.restore(removed.id);
      expect(workspace.takes.list()).toHaveLength(2);
      return answer;
    },
    204,
    undefined,
    '',
  ],
  [
    'bringing back a take whose place in takes is taken',
    async ({ app, workspace }) => {
      const { id } = await addSmallTake(workspace);
      await workspace.takes.remove(id);
      mkdirSync(join(workspace.path, 'takes', id));
      writeFileSync(join(workspace.path, 'takes', id, 'notes.txt'), 'mine');
      const answer = said(await app.inject({ method: 'POST', url: `/api/takes/${id}/restore` }));
      expect(readFileSync(join(workspace.path, 'takes', id, 'notes.txt'), 'utf8')).toBe('mine');
      expect(existsSync(join(workspace.path, 'trash', id, 'source', 'log.csv'))).toBe(true);
      return answer;
    },
    422,
    'STORE_CORRUPT',
    'Move it away',
  ],
  [
    'columns of a take whose folder was deleted by hand',
    async ({ app, workspace }) => {
      const { id } = await addSmallTake(workspace);
      rmSync(join(workspace.path, 'takes', id), { recursive: true });
      return said(await app.inject(`/api/takes/${id}/columns`));
    },
    422,
    'STORE_CORRUPT',
    'missing',
  ],
  [
    'a change of a take whose folder was deleted by hand',
    async ({ app, workspace }) => {
      const { id } = await addSmallTake(workspace);
      rmSync(join(workspace.path, 'takes', id), { recursive: true });
      return patch(app, id, 0, 'windy');
    },
    422,
    'STORE_CORRUPT',
    'missing',
  ],
  [
    'removing a take whose folder was deleted by hand',
    async ({ app, workspace }) => {
      const { id } = await addSmallTake(workspace);
      rmSync(join(workspace.path, 'takes', id), { recursive: true });
      return said(await app.inject({ method: 'DELETE', url: `/api/takes/${id}` }));
    },
    422,
    'STORE_CORRUPT',
    'missing',
  ],
  [
    'the trash after its folder was deleted by hand',
    async ({ app, workspace }) => {
      rmSync(join(workspace.path, 'trash'), { recursive: true });
      const answer = await app.inject('/api/trash');
      expect(answer.json()).toEqual({ takes: [], problems: [] });
      return said(answer);
    },
    200,
    undefined,
    '',
  ],
  [
    'removing a take after the trash was deleted by hand',
    async ({ app, workspace }) => {
      const { id } = await addSmallTake(workspace);
      rmSync(join(workspace.path, 'trash'), { recursive: true });
      const answer = said(await app.inject({ method: 'DELETE', url: `/api/takes/${id}` }));
      expect(readdirSync(join(workspace.path, 'trash'))).toEqual([id]);
      return answer;
    },
    204,
    undefined,
    '',
  ],
  [
    'an upload after the folder of uploads was deleted by hand',
    async ({ app, workspace }) => {
      rmSync(join(workspace.path, 'uploads'), { recursive: true });
      return sendUpload(app);
    },
    201,
    undefined,
    '',
  ],
  [
    'columns of a take whose columns.bin is a folder',
    async ({ app, workspace }) => {
      const { id } = await addSmallTake(workspace);
      const path = join(workspace.path, 'takes', id, 'columns.bin');
      rmSync(path);
      mkdirSync(path);
      writeFileSync(join(path, 'mine.txt'), 'mine');
      const answer = said(await app.inject(`/api/takes/${id}/columns`));
      return answer;
    },
    422,
    'STORE_CORRUPT',
    'columns.bin is a folder. Move it away',
  ],
];
