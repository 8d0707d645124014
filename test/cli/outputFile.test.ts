import {
  chmodSync,
  linkSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  statSync,
  symlinkSync,
} from 'node:fs';
import { devNull } from 'node:os';
import { relative } from 'node:path';
import { afterAll, beforeEach, describe, expect, test } from 'vitest';
import { run } from '../../server/cli/evaluate.ts';
import { writeOutput } from '../../server/cli/outputFile.ts';
import { formatCandidateFile } from '../../server/engine/settings/candidateFile.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { rowsOf, type Sample, SIX, time } from '../ingest/logs.ts';
import { makeFolder, runCli } from './runCli.ts';

const folder = makeFolder();
afterAll(folder.remove);

/** Two seconds of rest, two of swings. */
const take: Sample[] = Array.from({ length: 400 }, (_, i) => {
  const t = i / 100;
  return { t, gyro: [0, 0, t < 2 ? 0 : 500 * Math.sin(2 * Math.PI * t)], accel: [0, 0, 1] };
});
const TEXT = `t_s,gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g\n${rowsOf(take, [time(), ...SIX])}`;
const LABELS = JSON.stringify({ spans: [{ startUs: 2_000_000, endUs: 3_900_000, kind: 'spinning' }] });
const CANDIDATE = formatCandidateFile(DEFAULT_CANDIDATE);

const log = folder.path('take.csv');
const labels = folder.path('labels.json');
const candidate = folder.path('candidate.json');
mkdirSync(folder.path('sub'));

beforeEach(() => {
  folder.write('take.csv', TEXT);
  folder.write('labels.json', LABELS);
  folder.write('candidate.json', CANDIDATE);
});

const at = (path: string) => ({ option: '--out', path, inputs: [] });

/** A link to a file, made once. */
function linked(make: (to: string, from: string) => void, to: string, name: string): string {
  make(to, folder.path(name));
  return folder.path(name);
}

describe('--channels refuses to write over what evaluate reads', () => {
  test.each<[string, string[], string]>([
    ['the log', [log], log],
    ['the log, spelt otherwise', [log], relative('.', folder.path('sub/../take.csv'))],
    ['through a symbolic link', [log], linked(symlinkSync, log, 'soft.csv')],
    ['through a link to a link', [log], linked(symlinkSync, folder.path('soft.csv'), 'softer.csv')],
    ['the log’s own name, read through a link', [folder.path('soft.csv')], log],
    ['the labels', [log, '--labels', labels], labels],
    [
      'the candidate, through a symbolic link',
      [log, '--candidate', candidate],
      linked(symlinkSync, candidate, 'c.json'),
    ],
  ])('%s', async (_claim, argv, output) => {
    const { code, out, err } = await runCli(run, ...argv, '--channels', output);
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain(`--channels: ${output}`);
    expect(err).toContain('give another name');
    expect([log, labels, candidate].map((path) => readFileSync(path, 'utf8'))).toEqual([
      TEXT,
      LABELS,
      CANDIDATE,
    ]);
  });

  test('through a hard link', async () => {
    const hard = folder.path('hard.csv');
    linkSync(log, hard);
    const { code } = await runCli(run, log, '--channels', hard);
    expect(code).toBe(2);
    expect(readFileSync(log, 'utf8')).toBe(TEXT);
  });
});

describe('what evaluate writes', () => {
  test('stands beside the log with nothing else left, and replaces what it wrote before', async () => {
    const before = readdirSync(folder.path('.'));
    const path = folder.write('sub/channels.csv', 'older');
    expect((await runCli(run, log, '--accept-unfit', '--channels', path)).code).toBe(0);
    expect(readFileSync(path, 'utf8').split('\n')[0]).toMatch(/^time_s,swing_speed_dps,/);
    expect(readdirSync(folder.path('sub'))).toEqual(['channels.csv']);
    expect(readdirSync(folder.path('.'))).toEqual(before);
  });

  test('a link stays a link, and its file keeps its permissions', async () => {
    const real = folder.write('sub/real.csv', 'older');
    chmodSync(real, 0o640);
    const link = linked(symlinkSync, real, 'channels-link.csv');
    await writeOutput(at(link), ['a,', 'b\n']);
    expect(readlinkSync(link)).toBe(real);
    expect(readFileSync(real, 'utf8')).toBe('a,b\n');
    expect(statSync(real).mode & 0o777).toBe(0o640);
  });

  test('a write that fails half-way leaves the older file whole', async () => {
    const path = folder.write('sub/whole.csv', 'older');
    const parts = function* () {
      yield 'new';
      throw Object.assign(new Error('no space left'), { code: 'ENOSPC' });
    };
    await expect(writeOutput(at(path), parts())).rejects.toThrow('the disk is full; make room');
    expect(readFileSync(path, 'utf8')).toBe('older');
    expect(readdirSync(folder.path('sub')).filter((name) => name.startsWith('whole'))).toEqual(['whole.csv']);
  });

  test('what is no plain file is written into, not replaced', async () => {
    await writeOutput(at(devNull), 'gone');
    expect(statSync(devNull).isFile()).toBe(false);
  });
});
