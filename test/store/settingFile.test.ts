import { Validator } from '@cfworker/json-schema';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatKeptFile, keptDocument } from '../../server/engine/kept/keptFile.ts';
import { settingSchema } from '../../server/engine/kept/schema.ts';
import {
  candidateDocument,
  candidateOf,
  formatCandidateFile,
} from '../../server/engine/settings/candidateFile.ts';
import {
  CANDIDATE_VERSION,
  DEFAULT_CANDIDATE,
  FIELD_PATHS,
  isNumberPath,
  settingAt,
} from '../../server/engine/settings/candidateRules.ts';
import { readSettingFile } from '../../server/store/settingFile.ts';
import { madeSetting } from '../engine/kept/madeSetting.ts';

// biome-ignore lint/suspicious/noExplicitAny: documents are broken in every place.
type Json = Record<string, any>;

const schema = settingSchema();
/** Shares no code with what the program reads such files by. */
const independent = new Validator(schema as Json, '2020-12');
const isValid = (document: unknown) => independent.validate(document).valid;
const documentOf = (over: Parameters<typeof madeSetting>[0] = {}): Json =>
  JSON.parse(JSON.stringify(keptDocument(madeSetting(over))));

describe('a file of a kept setting', () => {
  test.each([
    ['with evidence', {}],
    ['that was never judged', { evidence: null }],
    ['for any prop and anybody', { prop: '', performers: [], note: '' }],
  ])('%s fits its schema, and comes back as it was', (_name, over) => {
    const setting = madeSetting(over);
    const text = formatKeptFile(setting);
    expect(isValid(JSON.parse(text))).toBe(true);
    expect(readSettingFile(text)).toEqual(setting);
    expect(readSettingFile(JSON.parse(text))).toEqual(setting);
  });

  /** Each breaks one thing; the words name the place and what is wrong. */
  const damages: readonly (readonly [string, (document: Json) => void])[] = [
    ['note: is missing', (d) => delete d.note],
    ['colour: nothing is known by this name', (d) => (d.colour = 'red')],
    ['name: must not be empty', (d) => (d.name = '')],
    ['name: must be one line of text, got "a\\nb"', (d) => (d.name = 'a\nb')],
    ['name: must be of at most 200 characters, and has 201', (d) => (d.name = 'x'.repeat(201))],
    ['performers[1]: must be a text, got 3', (d) => (d.performers[1] = 3)],
    ['performers: must be a list, got "all"', (d) => (d.performers = 'all')],
    [
      'keptAt: must be a moment such as 2026-05-01T18:30:00Z, got "yesterday"',
      (d) => (d.keptAt = 'yesterday'),
    ],
    [
      'candidate.guard.holdMs: must be a number from 0 to 5000 ms, got 5001',
      (d) => (d.candidate.guard.holdMs = 5001),
    ],
    [
      'candidate.guard.holdMs: must be a number from 0 to 5000 ms, got "240"',
      (d) => (d.candidate.guard.holdMs = '240'),
    ],
    [
      'candidate.twist.startAt: must be one of takeStart, rest, hold, got "never"',
      (d) => (d.candidate.twist.startAt = 'never'),
    ],
    ['candidate.guard.softness: there is no such setting', (d) => (d.candidate.guard.softness = 1)],
    ['candidate.stab.quietBeforeMs:', (d) => delete d.candidate.stab.quietBeforeMs],
    ['candidate.stab: is missing', (d) => delete d.candidate.stab],
    ['evidence.program: is missing', (d) => delete d.evidence.program],
    [
      'evidence.takes[1].labels.stray: must be at least 0, got -1',
      (d) => (d.evidence.takes[1].labels.stray = -1),
    ],
    [
      'evidence.takes[0].labels.swings: must be a whole number, got 1.5',
      (d) => (d.evidence.takes[0].labels.swings = 1.5),
    ],
    [
      'evidence.takes[0].sources[0].sha256: must be 64 hexadecimal digits, got "12"',
      (d) => (d.evidence.takes[0].sources[0].sha256 = '12'),
    ],
    [
      'evidence.takes[0].leftOut: must be a text or null, got false',
      (d) => (d.evidence.takes[0].leftOut = false),
    ],
    [
      'evidence.scores.luck: nothing is known by this name',
      (d) => (d.evidence.scores.luck = d.evidence.scores.strays),
    ],
    [
      'evidence.scores.strays.kind: must be one of count, share, ms, number, got "guess"',
      (d) => (d.evidence.scores.strays.kind = 'guess'),
    ],
    ['evidence.scores.strays.n: is missing', (d) => delete d.evidence.scores.strays.n],
    ['evidence.scores.wait.ms: must be a number, got null', (d) => (d.evidence.scores.wait.ms = null)],
    ['evidence.scores.open.share: must be at most 1, got 1.2', (d) => (d.evidence.scores.open.share = 1.2)],
    [
      'evidence.chosen.guard: must be one of suggested, default, hand, got "luck"',
      (d) => (d.evidence.chosen.guard = 'luck'),
    ],
    [
      'evidence.problems[0].kind: must be one of guard, motion, deflection, stab, impact, twist, got "spin"',
      (d) => (d.evidence.problems[0].kind = 'spin'),
    ],
    ['evidence.problems[0].margins.x.low: is missing', (d) => delete d.evidence.problems[0].margins.x.low],
    [
      'evidence.problems[0].map.plateau[7]: must be one of 0, 1, got 2',
      (d) => (d.evidence.problems[0].map.plateau[7] = 2),
    ],
    [
      'evidence.problems[0].wrong.strays.interval.low: must be at least 0, got -0.1',
      (d) => (d.evidence.problems[0].wrong.strays.interval.low = -0.1),
    ],
  ];

  test.each(damages)('with a damage is refused by both: %s', (words, damage) => {
    const document = documentOf();
    damage(document);
    expect(isValid(document)).toBe(false);
    expect(() => readSettingFile(JSON.stringify(document))).toThrow(words);
  });

  /** What a schema cannot say. */
  test.each<readonly [string, (document: Json) => void]>([
    ['keptAt: there is no such moment as 2026-13-01T00:00:00Z', (d) => (d.keptAt = '2026-13-01T00:00:00Z')],
    ['evidence.scores.strays: 30 of 29 cannot be', (d) => (d.evidence.scores.strays.k = 30)],
    [
      'evidence.scores.wanted.interval: from 0.5 to 0.9 does not hold 1 of 34',
      (d) => (d.evidence.scores.wanted.interval = { low: 0.5, high: 0.9 }),
    ],
    [
      'evidence.problems[0].map.wrong: has 4 cells, and its axes 2907',
      (d) => (d.evidence.problems[0].map.wrong = [0, 0, 0, 0]),
    ],
    ['evidence.problems[0].map.xs: must rise', (d) => d.evidence.problems[0].map.xs.reverse()],
    [
      'evidence.problems[0].margins.x: from 170 to 180 does not hold the setting’s 200',
      (d) => (d.evidence.problems[0].margins.x.high = 180),
    ],
    [
      'evidence.problems[0].margins.x.worseAbove: must be above 260',
      (d) => (d.evidence.problems[0].margins.x.worseAbove = 250),
    ],
    [
      'evidence.problems[0].x: is not the setting’s own guard.speedDps, 201',
      (d) => (d.candidate.guard.speedDps = 201),
    ],
    ['evidence.takes[0].labels.byPerson: 95 of 94 labels', (d) => (d.evidence.takes[0].labels.byPerson = 95)],
  ])('that contradicts itself is refused: %s', (words, damage) => {
    const document = documentOf();
    damage(document);
    expect(isValid(document)).toBe(true);
    expect(() => readSettingFile(document)).toThrow(words);
  });

  test.each<readonly [string, (document: Json) => void]>([
    ['version: a newer version of this program wrote it: it is 99', (d) => (d.version = 99)],
    [
      'candidate.version: a newer version of this program wrote it: it is 99',
      (d) => (d.candidate.version = 99),
    ],
  ])('of a newer program is refused: %s', (words, damage) => {
    const document = documentOf();
    damage(document);
    expect(isValid(document)).toBe(false);
    expect(() => readSettingFile(document)).toThrow(words);
  });

  test('with an older candidate is read, and brought up to date', () => {
    const document = documentOf({ evidence: null });
    const { quietBeforeMs, untilHitDps, hitRatio, ...stab } = document.candidate.stab;
    document.candidate = { ...document.candidate, version: 1, stab };
    expect(isValid(document)).toBe(true);
    const { candidate } = readSettingFile(document);
    expect(candidate.stab).toEqual({ ...stab, quietBeforeMs: 0, untilHitDps: 10_000, hitRatio: 0.25 });
    expect(isValid(keptDocument(madeSetting({ candidate, evidence: null })))).toBe(true);
    document.candidate.version = 2;
    expect(isValid(document)).toBe(false);
    expect(() => readSettingFile(document)).toThrow('candidate.stab.quietBeforeMs');
  });

  test.each([
    ['{', 'it holds no JSON'],
    ['[]', 'this is no file of a kept setting'],
    ['null', 'this is no file of a kept setting'],
    [formatCandidateFile(DEFAULT_CANDIDATE), 'this is a candidate alone'],
    ['{"format":"moulinet labels","presses":[]}', 'this is a file of labels'],
  ])('is told from other files: %.40s', (text, words) => {
    expect(() => readSettingFile(text)).toThrow(words);
  });
});

describe('the schema', () => {
  const groups = (schema['properties'] as Json).candidate.properties;

  test.each(FIELD_PATHS)('has the limits of the detectors: %s', (path) => {
    const [group, name] = path.split('.') as [string, string];
    const { title, minimum, maximum, enum: values, default: byDefault } = groups[group].properties[name];
    const setting = settingAt(path as never) as Json;
    expect(title).toBe(setting.label);
    expect(byDefault).toBe(setting.byDefault);
    if (isNumberPath(path)) expect([minimum, maximum]).toEqual([setting.min, setting.max]);
    else expect(values).toEqual(setting.choices.map(([value]: [unknown]) => value));
  });

  test('names every setting and no other', () => {
    const named = Object.entries<Json>(groups).flatMap(([group, { properties }]) =>
      Object.keys(properties ?? {}).map((name) => `${group}.${name}`),
    );
    expect(named).toEqual(FIELD_PATHS);
  });

  test('takes a candidate exactly where the detectors’ own rules do', () => {
    const candidates = new Validator(
      { $schema: schema['$schema'], ...groups, ...(schema['properties'] as Json).candidate },
      '2020-12',
    );
    const value = fc.oneof(
      fc.double({ min: -1, max: 12_000, noNaN: true }),
      fc.constantFrom<unknown>(
        'press',
        'movingAverage',
        'median',
        'none',
        'rest',
        1,
        2,
        4,
        0,
        null,
        true,
        {},
        [],
      ),
    );
    const change = fc.record({
      path: fc.constantFrom(...FIELD_PATHS, 'guard', 'stab', 'smoothing.more', 'version', 'format'),
      value: fc.option(value, { nil: undefined }),
    });
    const version = fc.constantFrom(1, CANDIDATE_VERSION);
    let [taken, refused] = [0, 0];
    fc.assert(
      fc.property(fc.array(change, { maxLength: 3 }), version, (changes, of) => {
        const document: Json = JSON.parse(
          JSON.stringify({ ...candidateDocument(DEFAULT_CANDIDATE), version: of }),
        );
        for (const { path, value: to } of changes) {
          const [group, name] = path.split('.') as [string, string | undefined];
          if (name === undefined) document[group] = to;
          else if (document[group] instanceof Object) document[group][name] = to;
        }
        const bare: Json = JSON.parse(JSON.stringify(document));
        // Settings alone, without format and version, are no part of a file.
        if (bare.format === undefined && bare.version === undefined) return;
        const byRules = isTaken(() => candidateOf(bare));
        if (byRules) ++taken;
        else ++refused;
        expect(candidates.validate(bare).valid).toBe(byRules);
      }),
      { seed: 7, numRuns: 1000 },
    );
    expect(Math.min(taken, refused)).toBeGreaterThan(100);
  });
});

function isTaken(read: () => unknown): boolean {
  try {
    read();
    return true;
  } catch {
    return false;
  }
}
