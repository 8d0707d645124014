import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { addDemoTakes } from '../../server/store/demoTakes.ts';
import { smallLog } from './smallLog.ts';
import { temporaryFolder } from './temporaryFolder.ts';
import { openWorkspace, temporaryWorkspace } from './temporaryWorkspace.ts';

const TRUTH = {
  note: 'Synthetic.',
  title: 'Slow carry',
  performer: 'Beginner',
  drill: 'carry',
  sensor: { mount: { tip: '-y', side: '+x' }, leverArmM: [0.12, 0.01, -0.02] },
  bladeLengthM: 0.8,
  presses: [
    { downUs: 200_300, upUs: 290_000, button: 'power_button', intent: 'stray', why: 'a slip' },
    { downUs: 700_000, upUs: 800_000, button: 'power_button', intent: 'wanted', why: 'not in the log' },
  ],
  spans: [{ startUs: 0, endUs: 500_000, kind: 'still', extra: 1 }],
  swings: [{ startUs: 0, endUs: 400_000, peakUs: 200_000, peakDps: 30 }],
  hits: [{ timeUs: 300_000, peakG: 5 }],
};

describe('addDemoTakes', () => {
  test('a take gets what its simulation knows: labels, mount, lever arm, blade', async () => {
    const workspace = await temporaryWorkspace();
    const [document] = await addDemoTakes(workspace, fixtures('carry'), {});
    expect(document).toMatchObject({
      title: 'Slow carry',
      performer: 'Beginner',
      drill: 'carry',
      notes: 'Synthetic.',
      isDemo: true,
      calibration: {
        mount: { tip: '-y', side: '+x' },
        isMountStated: true,
        leverArmM: 0.12,
        bladeLengthM: 0.8,
        accelScale: 1,
        bias: 'auto',
      },
    });
    expect(document?.sources[0]?.name).toBe('carry.csv');
    // The label belongs to the press as it was read; a press that was not read gets none.
    expect(document?.labels).toEqual({
      presses: [{ downUs: 200_000, button: 'power_button', intent: 'stray', by: 'simulation' }],
      spans: [{ startUs: 0, endUs: 500_000, kind: 'still', by: 'simulation' }],
      swings: [{ startUs: 0, endUs: 400_000, peakUs: 200_000, by: 'simulation' }],
      gestures: [{ startUs: 300_000, endUs: 320_000, kind: 'hit', by: 'simulation' }],
    });
  });

  test('each is added once: not again at the next start, and not after it was deleted', async () => {
    const folder = fixtures('a', 'b');
    const path = join(temporaryFolder(), 'workspace');
    const first = await openWorkspace(path);
    const added = await addDemoTakes(first, folder, {});
    expect(added).toHaveLength(2);
    await first.takes.remove(added[0]!.id);
    await first.close();
    const second = await openWorkspace(path);
    expect(await addDemoTakes(second, folder, {})).toEqual([]);
    expect(second.takes.list().map((take) => take.id)).toEqual([added[1]!.id]);
  });

  test('a crash between adding one and noting it does not add it twice', async () => {
    const folder = fixtures('a');
    const path = join(temporaryFolder(), 'workspace');
    const first = await openWorkspace(path);
    first.noteDemoAdded = () => Promise.reject(new Error('crash'));
    await expect(addDemoTakes(first, folder, {})).rejects.toThrow('crash');
    await first.close();
    const second = await openWorkspace(path);
    expect(await addDemoTakes(second, folder, {})).toEqual([]);
    expect(second.takes.list()).toHaveLength(1);
  });

  test('a start that was cut short is gone on with', async () => {
    const folder = fixtures('a', 'b');
    const workspace = await temporaryWorkspace();
    rmSync(join(folder, 'b.csv'));
    await addDemoTakes(workspace, folder, {});
    writeFileSync(join(folder, 'b.csv'), smallLog());
    const added = await addDemoTakes(workspace, folder, {});
    expect(added.map((take) => take.sources[0]?.name)).toEqual(['b.csv']);
  });

  test('the progress runs over all of them, upwards', async () => {
    const workspace = await temporaryWorkspace();
    const told: number[] = [];
    await addDemoTakes(workspace, fixtures('a', 'b'), { onProgress: (part) => told.push(part) });
    expect(told.length).toBeGreaterThan(0);
    expect(told.every((part, i) => part >= (told[i - 1] ?? 0) && part <= 1)).toBe(true);
    expect(told.some((part) => part > 0.5)).toBe(true);
  });

  test('without their folder there are none', async () => {
    const workspace = await temporaryWorkspace();
    expect(await addDemoTakes(workspace, join(temporaryFolder(), 'none'), {})).toEqual([]);
  });

  test('what cannot be read without asking is told of by name', async () => {
    const workspace = await temporaryWorkspace();
    const folder = fixtures('a');
    writeFileSync(join(folder, 'a.csv'), smallLog().replace('gyro_x_dps', 'foo'));
    await expect(addDemoTakes(workspace, folder, {})).rejects.toThrow(/^a\.csv: /);
    expect(workspace.takes.list()).toEqual([]);
  });
});

function fixtures(...names: string[]): string {
  const folder = join(temporaryFolder(), 'fixtures');
  mkdirSync(folder);
  for (const name of names) {
    writeFileSync(join(folder, `${name}.csv`), smallLog());
    writeFileSync(join(folder, `${name}.truth.json`), JSON.stringify(TRUTH));
  }
  writeFileSync(join(folder, 'README.md'), 'Not a take.');
  writeFileSync(join(folder, 'no-truth.csv'), smallLog());
  return folder;
}
