import { existsSync } from 'node:fs';
import { afterAll, describe, expect, test } from 'vitest';
import { writeCsv } from '../../scripts/simulate/csv.ts';
import { DIALECTS } from '../../scripts/simulate/demo/dialects.ts';
import { run } from '../../server/cli/evaluate.ts';
import { run as inspect } from '../../server/cli/inspect.ts';
import { mapColumns, take } from '../engine/check/checkedTakes.ts';
import { makeFolder, runCli } from './runCli.ts';

const folder = makeFolder();
afterAll(folder.remove);

const simulated = take();
const sound = folder.write('sound.csv', writeCsv(simulated, DIALECTS.plain));
const deadLog = mapColumns(simulated.log, (column, key) =>
  key === 'gyroYDps' ? column.map(() => 0) : column,
);
const dead = folder.write('dead.csv', writeCsv({ ...simulated, log: deadLog }, DIALECTS.plain));
const evaluate = (...argv: string[]) => runCli(run, ...argv);

describe('evaluate says what the signal check says', () => {
  test('of a sound take in a line, and ends with code 0', async () => {
    const { code, out } = await evaluate(sound);
    expect(code).toBe(0);
    expect(out.split('\n')[1]).toBe('  check: Signals fit.');
    expect(out).not.toMatch(/^ {4}fail/m);
  });

  test('of one that is not fit first of all, with what failed and what to do; it ends with code 1', async () => {
    const channels = folder.path('channels.csv');
    const { code, out } = await evaluate(dead, '--channels', channels);
    expect(code).toBe(1);
    expect(out.split('\n')[1]).toMatch(/^ {2}check: Signals not fit to tune on: .*stuck channels/);
    expect(out).toMatch(/^ {4}fail {4}Stuck channels: .*gyro y.*\n {12}\S/m);
    // The figures stand there all the same, for whoever asked for them.
    expect(out).toContain('stray presses let through');
    expect(existsSync(channels)).toBe(true);
  });

  test('and with --accept-unfit with code 0, the verdict as before', async () => {
    const { code, out } = await evaluate(dead, '--accept-unfit');
    expect(code).toBe(0);
    expect(out).toContain('Signals not fit to tune on');
  });

  test('in the JSON document too, as inspect --check has it', async () => {
    const { code, json } = await evaluate(dead, '--json');
    expect(code).toBe(1);
    const { check } = (await runCli(inspect, dead, '--check', '--json')).json();
    const failed = check.lines.filter(({ state }: { state: string }) => state === 'fail');
    expect(failed.length).toBeGreaterThan(0);
    expect(json().check).toEqual({ verdict: 'unfit', headline: check.headline, failed });
    expect((await evaluate(sound, '--json')).json().check).toMatchObject({ verdict: 'fit', failed: [] });
  });

  test('--help names the way around it', async () => {
    expect((await evaluate('--help')).out).toMatch(/--accept-unfit +ends with code 0/);
  });
});
