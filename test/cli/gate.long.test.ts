import { copyFileSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { run } from '../../server/cli/gate.ts';
import { junitXml } from '../../server/cli/junit.ts';
import { formatCandidateFile } from '../../server/engine/settings/candidateFile.ts';
import { DEFAULT_CANDIDATE, withField } from '../../server/engine/settings/candidateRules.ts';
import { makeFolder, runCli } from './runCli.ts';

const FIXTURES = fileURLToPath(new URL('../../fixtures', import.meta.url));
const NAMES = ['duellist-parry-drill', 'duellist-thrust-line'];

const folder = makeFolder();
afterAll(folder.remove);
const setting = withField(withField(DEFAULT_CANDIDATE, 'guard.speedDps', 100), 'guard.holdMs', 240);
const settingFile = folder.write('setting.json', formatCandidateFile(setting));
const takes = folder.path('takes');
const gate = (...argv: string[]) => runCli(run, '--takes', takes, ...argv);
const NONE = ['--max-slips', '0', '--max-refused', '0'];

beforeAll(() => {
  mkdirSync(takes);
  for (const name of NAMES)
    for (const end of ['.csv', '.truth.json'])
      copyFileSync(join(FIXTURES, name + end), join(takes, name + end));
});

describe('gate', () => {
  test('passes a setting that keeps within the limits, with a line a take', async () => {
    const { code, out: stdout } = await gate(...NONE, '--setting', settingFile);
    expect(stdout).toBe(
      'take                       slips  refused\n' +
        'duellist-parry-drill.csv  0 of 5   0 of 6\n' +
        'duellist-thrust-line.csv  0 of 1   0 of 4\n\nPassed.\n',
    );
    expect(code).toBe(0);
  });

  test('where nobody has said how the sensor sits, what passes says so; a simulation knows it, and --mount states it', async () => {
    const unsaid = folder.path('unsaid');
    mkdirSync(unsaid);
    copyFileSync(join(takes, `${NAMES[0]}.csv`), join(unsaid, 'drill.csv'));
    copyFileSync(join(takes, `${NAMES[0]}.truth.json`), join(unsaid, 'drill.labels.json'));
    const own = (...argv: string[]) =>
      runCli(run, '--takes', unsaid, ...NONE, '--setting', settingFile, ...argv);
    const { code, out } = await own();
    expect(out).toBe(
      'take        slips  refused\n' +
        'drill.csv  0 of 5   0 of 6  mount assumed\n\n' +
        'The mount is assumed: nobody has said which way the blade points, and swing speed, and with it the guard, rests ' +
        'on that. Say which way the blade points: with --mount for logs in a plain folder, in Signal check for a ' +
        'workspace.\nPassed, as far as the assumed mount is right.\n',
    );
    expect(code).toBe(0);
    expect((await own('--mount', 'tip=+y,side=-x')).out).not.toContain('assumed');
  });

  test('fails one that does not, and says so in the report too', async () => {
    const report = folder.path('report.xml');
    const { code, out: stdout } = await gate(...NONE, '--junit', report);
    expect(code).toBe(1);
    expect(stdout).toContain('Failed: stray presses let through: 3 of 6, at most 0 may be.');
    const xml = readFileSync(report, 'utf8');
    expect(xml).toContain('<testsuites name="gate" tests="4" failures="1" errors="0" skipped="0">');
    expect(xml).toContain('<failure message="3 of 6, at most 0 may be"/>');
  });

  test('the limits are counts over all takes', async () => {
    expect((await gate('--max-slips', '3', '--max-refused', '0')).code).toBe(0);
    expect((await gate('--max-slips', '2', '--max-refused', '0')).code).toBe(1);
  });

  test('a log without labels, one that cannot be read and labels of another take fail it, unless they may', async () => {
    writeFileSync(join(takes, 'new.csv'), readFileSync(join(takes, `${NAMES[0]}.csv`)));
    writeFileSync(join(takes, 'odd.csv'), 'a,b\n1,2\n');
    writeFileSync(join(takes, 'odd.labels.json'), '{}');
    const { code, out: stdout } = await gate(...NONE, '--setting', settingFile);
    expect(code).toBe(1);
    expect(stdout).toMatch(/new\.csv +- +- {2}not judged: it has no labels: new\.labels\.json/);
    expect(stdout).toMatch(/odd\.csv +- +- {2}not judged: /);
    expect((await gate(...NONE, '--setting', settingFile, '--accept-unjudged')).code).toBe(0);
    for (const name of ['new.csv', 'odd.csv', 'odd.labels.json']) rmSync(join(takes, name));
  });

  test('a report is not written over a recording or its labels', async () => {
    for (const end of ['.csv', '.truth.json']) {
      const before = readFileSync(join(takes, NAMES[0] + end), 'utf8');
      const { code, err } = await gate(...NONE, '--junit', join(takes, NAMES[0] + end));
      expect(code).toBe(2);
      expect(err).toContain('would be overwritten');
      expect(readFileSync(join(takes, NAMES[0] + end), 'utf8')).toBe(before);
    }
  });

  test('labels that do not all fit the take fail it: the press that is left out may be the one that slips', async () => {
    copyFileSync(join(takes, `${NAMES[1]}.csv`), join(takes, 'mixed.csv'));
    const labels = {
      presses: [4_300_000, 900_000_000].map((downUs) => ({
        downUs,
        button: 'power_button',
        intent: 'wanted',
      })),
    };
    const spans = [{ startUs: 0, endUs: 1_000_000, kind: 'still' }];
    writeFileSync(join(takes, 'mixed.labels.json'), JSON.stringify({ ...labels, spans }));
    const { code, out } = await gate(...NONE, '--setting', settingFile);
    expect(code).toBe(1);
    expect(out).toMatch(/mixed\.csv .*not judged: Left out/);
    for (const end of ['.csv', '.labels.json']) rmSync(join(takes, `mixed${end}`));
  });

  test('where no press at all is labelled nothing passes', async () => {
    const bare = folder.path('bare');
    mkdirSync(bare);
    copyFileSync(join(takes, `${NAMES[1]}.csv`), join(bare, 'a.csv'));
    const { code, out: stdout } = await runCli(run, '--takes', bare, ...NONE, '--accept-unjudged');
    expect(code).toBe(1);
    expect(stdout).toContain('no press of this kind is labelled');
  });

  test.each([
    [['--max-slips', '0', '--max-refused', '0'], '--takes is missing'],
    [['--takes', 'x', '--max-refused', '0'], '--max-slips is missing'],
    [['--takes', 'x', '--max-slips', '-1', '--max-refused', '0'], '--max-slips'],
    [
      ['--takes', 'x', '--max-slips', '0', '--max-refused', '1.5'],
      'must be a whole number from 0 on, got "1.5"',
    ],
    [['--takes', 'nowhere', '--max-slips', '0', '--max-refused', '0'], 'nowhere'],
    [['--takes', folder.path('.'), '--max-slips', '0', '--max-refused', '0'], 'holds no take'],
  ])('%j makes no sense', async (argv, words) => {
    const { code, err: stderr } = await runCli(run, ...argv);
    expect(code).toBe(2);
    expect(stderr).toContain(words);
  });
});

test('what a take is called cannot break the report', () => {
  const xml = junitXml('gate', [{ name: 'a <b> & "c" \u0000\u0008', failure: 'x\ny' }]);
  expect(xml).toContain('name="a &lt;b&gt; &amp; &quot;c&quot; "');
  expect(xml).toContain('message="x y"');
});
