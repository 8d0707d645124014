import { symlinkSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { type Schema, Validator } from '@cfworker/json-schema';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { judgeOnFolder } from '../../../server/cli/settingEvidence.ts';
import { sheetHtml } from '../../../server/engine/export/sheet/html.ts';
import { sheetOf } from '../../../server/engine/export/sheet/sheet.ts';
import { formatKeptFile } from '../../../server/engine/kept/keptFile.ts';
import type { ProblemEvidence, SettingEvidence } from '../../../server/engine/kept/keptSetting.ts';
import { settingSchema } from '../../../server/engine/kept/schema.ts';
import { DEFAULT_CANDIDATE, withField } from '../../../server/engine/settings/candidateRules.ts';
import { readSettingFile } from '../../../server/store/settingFile.ts';
import { makeFolder } from '../../store/temporaryFolder.ts';
import { madeSetting } from './madeSetting.ts';

const NAMES = ['spinner-slow-figure-eight', 'spinner-wall-plane', 'duellist-parry-drill'];
const ANY = { performers: [], prop: '' };
const AT = '2026-11-30T12:00:00.000Z';

const { folder, remove } = makeFolder();
afterAll(remove);
let found: SettingEvidence;

/** At 210 °/s and a hold of 50 ms: on the map's grid, and not what anything would suggest. */
const SETTING = withField(withField(DEFAULT_CANDIDATE, 'guard.speedDps', 210), 'guard.holdMs', 50);

beforeAll(async () => {
  for (const name of NAMES)
    for (const end of ['.csv', '.truth.json'])
      symlinkSync(resolve('fixtures', `${name}${end}`), join(folder, `${name}${end}`));
  found = await judgeOnFolder(SETTING, folder, ANY, AT);
}, 60_000);

const of = (kind: string, evidence = found): ProblemEvidence =>
  evidence.problems.find((one) => one.kind === kind)!;

describe('a setting judged on demo takes', () => {
  test('counts are those of the scores, which come by another way', () => {
    const counts = (kind: string, part: string) => {
      const { k, n } = of(kind).wrong[part]!;
      return { k, n };
    };
    for (const [score, kind, part] of [
      ['strays', 'guard', 'strays'],
      ['wanted', 'guard', 'wanted'],
      ['missed', 'deflection', 'missed'],
      ['twice', 'deflection', 'twice'],
      ['impactMissed', 'impact', 'missed'],
    ] as const)
      expect(found.scores[score], score).toMatchObject(counts(kind, part));
    expect(of('guard').wrong['strays']!.k).toBeGreaterThan(0);
  });

  test('margins end at the latest where the map, made by the sweeps, says that more goes wrong', () => {
    const { map, margins, x, y, wrong } = of('guard');
    const { xs, ys } = map!;
    const at = (i: number, j: number) => map!.wrong[i * ys.length + j];
    const [i, j] = [xs.indexOf(x), ys.indexOf(y)];
    const own = wrong['strays']!.k + wrong['wanted']!.k;
    expect(at(i, j)).toBe(own);
    // Cells that are never suggested say nothing.
    const worse = (value: number | null | undefined) => value !== null && value !== undefined && value > own;
    const firstWorse = (
      from: number,
      step: number,
      values: readonly number[],
      cell: (k: number) => unknown,
    ) => {
      for (let k = from + step; k >= 0 && k < values.length; k += step)
        if (worse(cell(k) as number | null)) return values[k]!;
      return null;
    };
    // Before it, where more reversals open, or more quiet time is closed: that counts too.
    expect(margins!.x.worseAbove).toBeLessThanOrEqual(firstWorse(i, 1, xs, (k) => at(k, j))!);
    expect(margins!.y.worseBelow).toBeGreaterThanOrEqual(firstWorse(j, -1, ys, (k) => at(i, k))!);
    expect(margins!.y.worseAbove ?? Infinity).toBeLessThanOrEqual(
      firstWorse(j, 1, ys, (k) => at(i, k)) ?? Infinity,
    );
    expect(margins!.x.low).toBeLessThanOrEqual(x);
  });

  test('what is suggested lies on its plateau, and a setting that equals it is said to be suggested', async () => {
    const { suggested, map } = of('guard');
    const { xs, ys, plateau } = map!;
    expect(plateau[xs.indexOf(suggested!.x) * ys.length + ys.indexOf(suggested!.y)]).toBe(1);
    expect(found.chosen).toMatchObject({ guard: 'hand', deflection: 'default', smoothing: 'default' });
    const taken = withField(withField(SETTING, 'guard.speedDps', suggested!.x), 'guard.holdMs', suggested!.y);
    const again = await judgeOnFolder(taken, folder, ANY, AT);
    expect(again.chosen.guard).toBe('suggested');
    // Its margins are those that Sweep gives: as far as the plateau goes to every side.
    const kept = of('guard', again);
    const isOnPlateau = (x: number, y: number) =>
      kept.map!.plateau[xs.indexOf(x) * ys.length + ys.indexOf(y)] === 1;
    const run = (values: readonly number[], own: number, holds: (value: number) => boolean) => {
      let [low, high] = [values.indexOf(own), values.indexOf(own)];
      while (low > 0 && holds(values[low - 1]!)) --low;
      while (high < values.length - 1 && holds(values[high + 1]!)) ++high;
      return { low: values[low], high: values[high] };
    };
    const { x, y } = suggested!;
    expect(kept.margins!.x).toMatchObject(run(xs, x, (value) => isOnPlateau(value, y)));
    expect(kept.margins!.y).toMatchObject(run(ys, y, (value) => isOnPlateau(x, value)));
    expect(of('guard', again).wrong['strays']!.k).toBeLessThan(of('guard').wrong['strays']!.k);
  }, 60_000);

  test('the first presses that it gets wrong are kept as stills: where the tip pointed, and why the press went wrong', async () => {
    const slips = of('guard').wrong['strays']!.k + of('guard').wrong['wanted']!.k;
    expect(found.stills.length).toBe(Math.min(6, slips, found.stills.length));
    expect(found.stills.length).toBeGreaterThan(1);
    for (const { tip, trail, text, intent } of found.stills) {
      expect(Math.hypot(...tip)).toBeCloseTo(1, 2);
      expect(trail.at(-1)!.points.slice(-3)).toEqual([...tip]);
      expect(text).toMatch(intent === 'stray' ? /^let through: / : /^refused by /);
    }
    // None wrong, none shown.
    const { suggested } = of('guard');
    const best = withField(withField(SETTING, 'guard.speedDps', suggested!.x), 'guard.holdMs', suggested!.y);
    const again = await judgeOnFolder(best, folder, ANY, AT);
    const wrong = of('guard', again).wrong;
    expect(again.stills.length).toBe(Math.min(6, wrong['strays']!.k + wrong['wanted']!.k));
  }, 60_000);

  test('takes tell where they come from, what is labelled, and that they are synthetic', () => {
    expect(found.takes.map(({ title }) => title)).toEqual([...NAMES].sort().map((name) => `${name}.csv`));
    for (const take of found.takes) {
      expect(take.isSynthetic).toBe(true);
      expect(take.sources[0]!.sha256).toMatch(/^[0-9a-f]{64}$/);
      expect(take.labels.byPerson).toBe(0);
    }
    const sum = (key: 'stray' | 'wanted') =>
      found.takes.reduce((total, { labels }) => total + labels[key], 0);
    expect(sum('stray')).toBe(of('guard').wrong['strays']!.n);
    expect(sum('wanted')).toBe(of('guard').wrong['wanted']!.n);
  });

  test('by motion alone nothing is told where presses tell enough', () => {
    expect(found.problems.map(({ kind }) => kind)).toEqual([
      'guard',
      'deflection',
      'stab',
      'impact',
      'twist',
    ]);
  });

  test('makes a file that its reader and an independent validator take, and a sheet', () => {
    const setting = madeSetting({ candidate: SETTING, evidence: found });
    const text = formatKeptFile(setting);
    expect(new Validator(settingSchema() as Schema, '2020-12').validate(JSON.parse(text)).valid).toBe(true);
    expect(readSettingFile(text)).toEqual(setting);
    const sheet = sheetHtml(sheetOf(setting));
    expect(sheet).toContain('All takes are synthetic');
    const { k, n } = of('guard').wrong['strays']!;
    expect(sheet).toContain(`${k} of ${n} stray presses let through`);
  });
});
