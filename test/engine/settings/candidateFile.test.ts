import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { EMPTY_LABELS } from '../../../server/engine/labels/labels.ts';
import { formatLabelsCsv, formatLabelsJson } from '../../../server/engine/labels/labelsWrite.ts';
import { formatCandidateFile, parseCandidateFile } from '../../../server/engine/settings/candidateFile.ts';
import {
  CANDIDATE_VERSION,
  CandidateError,
  DEFAULT_CANDIDATE,
  FIELD_PATHS,
  readField,
  settingAt,
  withField,
} from '../../../server/engine/settings/candidateRules.ts';
import { fc } from '../properties.ts';

const README = readFileSync(new URL('../../../README.md', import.meta.url), 'utf8');

describe('a candidate as a file', () => {
  const value = (path: string) => {
    const rule = settingAt(path);
    if (rule.kind === 'number') return fc.double({ min: rule.min, max: rule.max, noNaN: true });
    return fc.constantFrom(...rule.choices.map(([one]) => one));
  };
  const paths = FIELD_PATHS;

  test('comes back as it was, to the bit, whatever its settings', () => {
    fc.assert(
      fc.property(fc.tuple(...paths.map(value)), (values) => {
        const candidate = paths.reduce((one, path, k) => withField(one, path, values[k]!), DEFAULT_CANDIDATE);
        const read = parseCandidateFile(formatCandidateFile(candidate));
        for (const path of paths) {
          // JSON knows no -0.
          const was = readField(candidate, path);
          expect(readField(read, path), path).toBe(typeof was === 'number' ? was + 0 : was);
        }
      }),
      { numRuns: 200 },
    );
  });

  test('says what it is, and in which version', () => {
    const document = JSON.parse(formatCandidateFile(DEFAULT_CANDIDATE));
    expect(document).toEqual({ format: 'moulinet candidate', version: 4, ...DEFAULT_CANDIDATE });
  });

  test('may be the settings alone, begin with a byte-order mark, and lack a length that counts for nothing', () => {
    const { lengthMs: _, ...smoothing } = DEFAULT_CANDIDATE.smoothing;
    const text = JSON.stringify({ ...DEFAULT_CANDIDATE, smoothing });
    expect(parseCandidateFile(`\uFEFF${text}`)).toEqual(DEFAULT_CANDIDATE);
  });

  const { quietBeforeMs: _q, untilHitDps: _u, hitRatio: _h, ...stabThen } = DEFAULT_CANDIDATE.stab;
  const then = { ...DEFAULT_CANDIDATE, stab: { ...stabThen, thrustG: 1.7 } };
  test.each([
    ['a file of version 1', { format: 'moulinet candidate', version: 1, ...then }],
    ['settings alone', then],
  ])('%s, from before a stab asked for quiet, fires where it did then', (_name, document) => {
    const stab = { ...stabThen, thrustG: 1.7, quietBeforeMs: 0, untilHitDps: 10000, hitRatio: 0.25 };
    expect(parseCandidateFile(JSON.stringify(document))).toEqual({ ...DEFAULT_CANDIDATE, stab });
  });

  test('a file of version 1 keeps what it says of the later settings', () => {
    const stab = { ...stabThen, hitRatio: 0.5 };
    const read = parseCandidateFile(
      JSON.stringify({ format: 'moulinet candidate', version: 1, ...DEFAULT_CANDIDATE, stab }),
    );
    expect(read.stab).toEqual({ ...stab, quietBeforeMs: 0, untilHitDps: 10000 });
  });

  const file = (change: object) =>
    JSON.stringify({
      format: 'moulinet candidate',
      version: CANDIDATE_VERSION,
      ...DEFAULT_CANDIDATE,
      ...change,
    });
  test.each<[string, string, string, string]>([
    ['no JSON', '{oops', '', 'it holds no JSON'],
    ['labels', formatLabelsJson(EMPTY_LABELS, 'a take'), '', 'this is a file of labels: open its take'],
    ['labels as a table', formatLabelsCsv(EMPTY_LABELS), '', 'this is a file of labels: open its take'],
    ['labels alone', '{"presses": []}', '', 'this is a file of labels'],
    ['a list', '[]', '', 'must be an object, got a list'],
    ['null', 'null', '', 'must be an object, got null'],
    [
      'another format',
      file({ format: 'settings' }),
      'format',
      'format: must be "moulinet candidate", got "settings"',
    ],
    ['a version without a format', file({ format: undefined }), 'format', 'got nothing'],
    [
      'a later version',
      file({ version: CANDIDATE_VERSION + 1 }),
      'version',
      `version: a newer version of this program wrote it: it is ${CANDIDATE_VERSION + 1}, and this program reads no later one than ${CANDIDATE_VERSION}`,
    ],
    [
      'one of this version without a later setting',
      file({ stab: stabThen }),
      'stab.quietBeforeMs',
      'stab.quietBeforeMs: must be a number from 0 to 2000 ms, got nothing',
    ],
    ['an old one without its stabs', file({ version: 1, stab: undefined }), 'stab', 'stab: is missing'],
    ['no version', file({ version: undefined }), 'version', 'got nothing'],
    [
      'a setting out of bounds',
      file({ guard: { ...DEFAULT_CANDIDATE.guard, holdMs: 9999 } }),
      'guard.holdMs',
      'guard.holdMs: must be a number from 0 to 5000 ms, got 9999',
    ],
    ['a group left out', file({ twist: undefined }), 'twist', 'twist: is missing'],
    ['a group too many', file({ sound: {} }), 'sound', 'sound: there is no such setting'],
  ])('%s is refused, and the place in the file named', (_name, text, path, message) => {
    let error: unknown;
    try {
      parseCandidateFile(text);
    } catch (caught) {
      error = caught;
    }
    expect(error).toBeInstanceOf(CandidateError);
    expect((error as CandidateError).path).toBe(path);
    expect((error as CandidateError).message).toContain(message);
  });
});

test('the README’s table of settings is what the rules say, in the order of the file', () => {
  const table = README.split('\n').filter((line) => /^\| `\w+\.\w+` \|/.test(line));
  expect(table).toEqual(FIELD_PATHS.map(rowOf));
});

function rowOf(path: string): string {
  const setting = settingAt(path);
  const allowed =
    setting.kind === 'number'
      ? `${setting.min} to ${setting.max}`
      : setting.choices.map(([value]) => JSON.stringify(value)).join(', ');
  return `| \`${path}\` | ${setting.unit} | ${allowed} | ${JSON.stringify(setting.byDefault)} | ${setting.label} |`;
}
