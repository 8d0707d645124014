import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import type { Overrides } from '../../server/ingest/ground/types.ts';
import { temporaryFolder } from './temporaryFolder.ts';
import { openWorkspace, uploadText } from './temporaryWorkspace.ts';

/** 100 rows at 100 Hz; the guard is closed from row 40 to 49, where a press is refused. `more` tells of fires. */
const ROWS = Array.from({ length: 100 }, (_, i) => {
  const isClosed = i >= 40 && i < 50;
  const swing = (30 * Math.sin(i / 15)).toFixed(3);
  return `${i * 10_000},0.5,${swing},-0.25,0.01,-0.02,0.999,${Number(isClosed)},${Number(isClosed)},${Number(i === 40)},${i === 38 ? 'deflection' : 0}`;
});
const LOG = `time_us,gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g,power,guard_closed,press_refused,more\n${ROWS.join('\n')}\n`;

const READ = { guardClosed: [{ startUs: 400_000, endUs: 500_000 }], refusedUs: [400_000], fires: null };

test('what the prop decided stays with the take, and follows its reading', async () => {
  const path = join(temporaryFolder(), 'workspace');
  const workspace = await openWorkspace(path);
  const uploadIds = [await uploadText(workspace, LOG)];
  const { mapping } = await workspace.preview(uploadIds, {}, {});
  const { id } = await workspace.addTake(
    { uploadIds, mapping, title: 'On the prop', performer: '', drill: '' },
    {},
  );
  expect(workspace.takes.get(id).decisions).toEqual(READ);
  await workspace.close();

  const again = await openWorkspace(path);
  expect(again.takes.get(id).decisions).toEqual(READ);
  const reread = async (roles: Overrides['roles']) => {
    const { mapping } = await again.previewTake(id, { roles: roles! }, {});
    const { revision } = again.takes.get(id);
    return (await again.rereadTake(id, { revision, mapping, dropsLabels: true }, {})).document;
  };
  const more = { file: 0, index: 10, role: 'fired' as const };
  const fires = [{ kind: 'deflection', steps: 1, atUs: 380_000 }];
  expect((await reread([more]))?.decisions).toEqual({ ...READ, fires });
  const ignored = [8, 9].map((index) => ({ file: 0, index, role: 'ignored' as const }));
  expect(await reread(ignored)).not.toHaveProperty('decisions');
  await again.close();

  // Of older versions, and of a hand that wrote something else.
  const file = join(path, 'takes', id, 'take.json');
  const document = { ...again.takes.get(id), decisions: 'guarded' };
  writeFileSync(file, JSON.stringify(document));
  const third = await openWorkspace(path);
  expect(third.takes.list()).toEqual([]);
  expect(third.problems.join()).toContain('parts of it are missing or of the wrong kind');
});
