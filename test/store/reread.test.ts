import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { Labels } from '../../server/engine/labels/labels.ts';
import type { Mapping, Overrides } from '../../server/ingest/ground/types.ts';
import type { TakeDocument } from '../../server/store/documents.ts';
import type { Workspace } from '../../server/store/workspace.ts';
import { smallLog } from './smallLog.ts';
import { temporaryFolder } from './temporaryFolder.ts';
import { openWorkspace, temporaryWorkspace, uploadText } from './temporaryWorkspace.ts';

/**
 * 100 rows without a clock; the second accelerometer's x is empty in the first ten, so that a take that reads it begins
 * there. Presses of `power` from row 20 and of `other` from row 60, ten rows each.
 */
function log(): string {
  const names = 'gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g,second,power_button,other_button';
  const rows = Array.from({ length: 100 }, (_, i) => {
    const down = (from: number) => Number(i >= from && i < from + 10);
    const swing = (30 * Math.sin(i / 15)).toFixed(3);
    return `0.5,${swing},-0.25,0.01,-0.02,0.999,${i < 10 ? '' : `0.0${i % 7}`},${down(20)},${down(60)}`;
  });
  return `${[names, ...rows].join('\n')}\n`;
}

const LABELS: Labels = {
  presses: [
    { downUs: 200_000, button: 'power_button', intent: 'stray', by: 'person' },
    { downUs: 600_000, button: 'other_button', intent: 'wanted', by: 'person' },
  ],
  spans: [{ startUs: 300_000, endUs: 800_000, kind: 'spinning', by: 'person' }],
  swings: [{ startUs: 300_000, endUs: 500_000, peakUs: 400_000, by: 'person' }],
  gestures: [{ startUs: 155_000, endUs: 250_000, kind: 'thrust', by: 'person' }],
};

/** A take at a stated 100 Hz, labelled. */
async function labelled(workspace: Workspace): Promise<TakeDocument> {
  const uploadIds = [await uploadText(workspace, log())];
  const { mapping } = await workspace.preview(uploadIds, { rateHz: 100 }, {});
  const { id } = await workspace.addTake(
    { uploadIds, mapping, title: 'Carry', performer: '', drill: '' },
    {},
  );
  return workspace.takes.change(id, 0, { labels: LABELS, notes: 'mine' });
}

/** The mapping that the preview of a stored take gives once something more is stated. */
async function mappingWith(workspace: Workspace, id: string, more: Overrides): Promise<Mapping> {
  const { stated } = await workspace.previewTake(id, null, {});
  return (await workspace.previewTake(id, { ...stated, ...more }, {})).mapping;
}

async function reread(
  workspace: Workspace,
  { id, revision }: TakeDocument,
  more: Overrides,
  dropsLabels = false,
) {
  const mapping = await mappingWith(workspace, id, more);
  return workspace.rereadTake(id, { revision, mapping, dropsLabels }, {});
}

const IGNORED = { file: 0, index: 8, role: 'ignored' } as const;

describe('reading a stored take again', () => {
  test('begins with how it is read now, statements, signs and mount included', async () => {
    const workspace = await temporaryWorkspace();
    const uploadIds = [await uploadText(workspace, log())];
    const stated: Overrides = {
      rateHz: 100,
      accelUnit: 'm/s2',
      roles: [IGNORED],
      reversed: [{ file: 0, index: 1 }],
    };
    const { mapping } = await workspace.preview(uploadIds, stated, {});
    const { id, calibration } = await workspace.addTake(
      { uploadIds, mapping, title: '', performer: '', drill: '' },
      {},
    );
    const mount = { tip: '+z', side: '-x' } as const;
    await workspace.takes.change(id, 0, { calibration: { ...calibration, mount } });
    const preview = await workspace.previewTake(id, null, {});
    expect(preview.stated).toEqual({ ...stated, mount });
    const withoutReasons = (one: Mapping) => one.columns.map(({ reason: _, ...column }) => column);
    expect(withoutReasons(preview.mapping)).toEqual(withoutReasons(mapping));
    expect(preview.known).toEqual([]);
  });

  test.each<[string, Overrides]>([
    ['an even clock', { clock: 'even' }],
    ['an even clock of a stated rate', { clock: 'even', rateHz: 101 }],
    ['the stamps as they are', { clock: 'stamps' }],
  ])('%s is stated again', async (_claim, stated) => {
    const workspace = await temporaryWorkspace();
    const uploadIds = [await uploadText(workspace, smallLog())];
    const { mapping } = await workspace.preview(uploadIds, stated, {});
    const { id } = await workspace.addTake({ uploadIds, mapping, title: '', performer: '', drill: '' }, {});
    const preview = await workspace.previewTake(id, null, {});
    expect(preview.stated).toMatchObject(stated);
    expect([preview.mapping.clock, preview.mapping.evenHz]).toEqual([mapping.clock, mapping.evenHz]);
  });

  test('at another rate: every label moves to where its moment is now', async () => {
    const workspace = await temporaryWorkspace();
    const take = await labelled(workspace);
    const { document, leftOut } = await reread(workspace, take, { rateHz: 200 });
    expect(leftOut).toBeNull();
    const half = (us: number) => us / 2;
    expect(document!.labels).toEqual({
      presses: LABELS.presses.map((own) => ({ ...own, downUs: half(own.downUs) })),
      spans: [{ startUs: 150_000, endUs: 400_000, kind: 'spinning', by: 'person' }],
      swings: [{ startUs: 150_000, endUs: 250_000, peakUs: 200_000, by: 'person' }],
      gestures: [{ startUs: 77_500, endUs: 125_000, kind: 'thrust', by: 'person' }],
    });
    expect(document!.presses.map(({ downUs }) => downUs)).toEqual([100_000, 300_000]);
    expect(document).toMatchObject({
      revision: take.revision + 1,
      notes: 'mine',
      title: 'Carry',
      powerButton: 'power_button',
    });
    expect(document!.report.rateHz).toBe(200);
  });

  test('so that the take begins later: labels stay with their rows', async () => {
    const workspace = await temporaryWorkspace();
    const take = await labelled(workspace);
    const roles = [
      { file: 0, index: 3, role: 'ignored' },
      { file: 0, index: 6, role: 'accelX' },
      { file: 0, index: 4, role: 'accelY' },
      { file: 0, index: 5, role: 'accelZ' },
    ] as const;
    const { document, leftOut } = await reread(workspace, take, { roles, accelUnit: 'g', gyroUnit: 'deg/s' });
    expect(leftOut).toBeNull();
    expect(document!.report.rows).toBe(90);
    expect(document!.labels.presses.map(({ downUs }) => downUs)).toEqual([100_000, 500_000]);
    expect(document!.labels.spans).toEqual([{ ...LABELS.spans[0], startUs: 200_000, endUs: 700_000 }]);
    expect(document!.labels.gestures).toEqual([{ ...LABELS.gestures![0], startUs: 55_000, endUs: 150_000 }]);
  });

  test('labels that would go keep it from being done, until that is allowed', async () => {
    const workspace = await temporaryWorkspace();
    const take = await labelled(workspace);
    const kept = await reread(workspace, take, { roles: [IGNORED] });
    expect(kept.document).toBeNull();
    expect(kept.leftOut).toBe(
      'Left out: 1 label of the button “other_button”, while in this take “power_button” is pressed.',
    );
    expect(workspace.takes.get(take.id)).toEqual(take);
    const done = await reread(workspace, take, { roles: [IGNORED] }, true);
    expect(done.leftOut).toBe(kept.leftOut);
    expect(done.document!.labels.presses).toEqual([LABELS.presses[0]]);
  });

  test('the columns are those of the new reading, also after a new start, and the source is as it was', async () => {
    const path = join(temporaryFolder(), 'workspace');
    const workspace = await openWorkspace(path);
    const take = await labelled(workspace);
    const before = readFileSync((await workspace.columns(take.id)).path);
    const { document } = await reread(workspace, take, { reversed: [{ file: 0, index: 1 }] });
    const after = readFileSync((await workspace.columns(take.id)).path);
    expect(after.equals(before)).toBe(false);
    expect(document!.report.warnings).toContain('the sign of column "gy_dps" is reversed, stated by you');
    expect(readFileSync((await workspace.source(take.id, 0)).path, 'utf8')).toBe(log());
    await workspace.close();
    const again = await openWorkspace(path);
    expect(again.takes.get(take.id)).toEqual(document);
    expect(readFileSync((await again.columns(take.id)).path).equals(after)).toBe(true);
    // And back, by stating the opposite: the bytes are those of the first reading.
    const mapping = await mappingWith(again, take.id, { reversed: [] });
    await again.rereadTake(take.id, { revision: document!.revision, mapping, dropsLabels: false }, {});
    const { rows } = again.takes.get(take.id).report;
    const back = readFileSync((await again.columns(take.id)).path);
    // Up to the checksum, which is of the header too.
    const columnsOf = (bytes: Buffer) => bytes.subarray(-rows * 8, -8);
    expect(columnsOf(back).equals(columnsOf(before))).toBe(true);
  });

  test('a take that was changed meanwhile is left alone', async () => {
    const workspace = await temporaryWorkspace();
    const take = await labelled(workspace);
    await workspace.takes.change(take.id, take.revision, { notes: 'changed' });
    await expect(reread(workspace, take, { rateHz: 200 })).rejects.toMatchObject({ code: 'STORE_CONFLICT' });
    expect(workspace.takes.get(take.id)).toMatchObject({ notes: 'changed', labels: LABELS });
  });

  test('what is corrected is remembered for the next log of this shape', async () => {
    const workspace = await temporaryWorkspace();
    const { id, revision } = await labelled(workspace);
    const { stated } = await workspace.previewTake(id, null, {});
    const { mapping, corrections } = await workspace.previewTake(id, { ...stated, gyroUnit: 'rad/s' }, {});
    await workspace.rereadTake(id, { revision, mapping, corrections, dropsLabels: false }, {});
    const next = await workspace.preview([await uploadText(workspace, log())], {}, {}, true);
    expect(next.stated).toMatchObject({ gyroUnit: 'rad/s', rateHz: 100 });
  });
});
