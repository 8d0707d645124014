import { describe, expect, test } from 'vitest';
import {
  CandidateError,
  DEFAULT_CANDIDATE,
  FIELD_PATHS,
  readField,
  settingAt,
  validateCandidate,
  withField,
} from '../../../server/engine/settings/candidateRules.ts';

const everyPath = Object.entries(DEFAULT_CANDIDATE).flatMap(([group, settings]) =>
  Object.keys(settings).map((name) => `${group}.${name}`),
);

const settings = FIELD_PATHS.map((path) => [path, settingAt(path as string)] as const);
const NUMBERS = settings.flatMap(([path, one]) => (one.kind === 'number' ? [[path, one] as const] : []));
const CHOICES = settings.flatMap(([path, one]) => (one.kind === 'choice' ? [[path, one] as const] : []));

describe('rules', () => {
  test('every setting has one rule, and every rule a setting', () => {
    expect(FIELD_PATHS).toEqual(everyPath);
  });

  test.each(NUMBERS)('%s: bounds in order, a step that moves, a label of its own', (path, rule) => {
    expect(rule.min).toBeLessThan(rule.max);
    expect(rule.step).toBeGreaterThan(0);
    const labels = FIELD_PATHS.map((other) => settingAt(other as string).label);
    expect(labels.filter((label) => label === rule.label)).toHaveLength(1);
    expect(readField(DEFAULT_CANDIDATE, path)).toBe(rule.byDefault);
    expect(rule.byDefault).toBeGreaterThanOrEqual(rule.min);
    expect(rule.sliderMax).toBeLessThanOrEqual(rule.max);
    // A slider ends at so many tens of steps, and stops at the default.
    expect((rule.sliderMax / rule.step / 10) % 1).toBe(0);
    expect(rule.byDefault / rule.step).toBeCloseTo(Math.round(rule.byDefault / rule.step), 9);
    expect(rule.byDefault).toBeLessThanOrEqual(rule.sliderMax);
    if (rule.partOf !== undefined) expect(FIELD_PATHS).toContain(rule.partOf);
  });

  test('the default candidate is valid and frozen to its groups', () => {
    expect(validateCandidate(DEFAULT_CANDIDATE)).toEqual(DEFAULT_CANDIDATE);
    expect(Object.values(DEFAULT_CANDIDATE).every(Object.isFrozen)).toBe(true);
  });
});

describe('validateCandidate', () => {
  const changed = (change: (candidate: Record<string, Record<string, unknown>>) => void): unknown => {
    const copy = structuredClone(DEFAULT_CANDIDATE) as unknown as Record<string, Record<string, unknown>>;
    change(copy);
    return copy;
  };

  test.each<[string, unknown, string, RegExp]>([
    ['no candidate at all', undefined, '', /missing/],
    ['null', null, '', /must be an object/],
    ['a list', [], '', /must be an object, got a list/],
    ['a group left out', changed((c) => delete c.guard), 'guard', /missing/],
    [
      'a group that is a number',
      changed((c) => Object.assign(c, { stab: 3 })),
      'stab',
      /must be an object, got 3/,
    ],
    ['an unknown group', changed((c) => Object.assign(c, { blade: {} })), 'blade', /no such setting/],
    ['an unknown setting', changed((c) => (c.guard!.holdMS = 20)), 'guard.holdMS', /no such setting/],
    ['a setting left out', changed((c) => delete c.twist!.degPerStep), 'twist.degPerStep', /got nothing/],
    [
      'NaN',
      changed((c) => (c.guard!.speedDps = Number.NaN)),
      'guard.speedDps',
      /from 5 to 4000 °\/s, got NaN/,
    ],
    ['infinity', changed((c) => (c.guard!.holdMs = Infinity)), 'guard.holdMs', /got Infinity/],
    ['a number as text', changed((c) => (c.guard!.holdMs = '12')), 'guard.holdMs', /got "12"/],
    ['null for a number', changed((c) => (c.guard!.holdMs = null)), 'guard.holdMs', /got null/],
    ['true for a number', changed((c) => (c.impact!.impactG = true)), 'impact.impactG', /got true/],
    ['just below the least', changed((c) => (c.guard!.holdMs = -1e-9)), 'guard.holdMs', /from 0 to 5000 ms/],
    [
      'just above the most',
      changed((c) => (c.guard!.releaseRatio = 1.0001)),
      'guard.releaseRatio',
      /0.05 to 1,/,
    ],
    [
      'a choice that is none',
      changed((c) => (c.guard!.decideAt = 'never')),
      'guard.decideAt',
      /one of press, release/,
    ],
    [
      'an order that is none',
      changed((c) => (c.smoothing!.order = 3)),
      'smoothing.order',
      /one of 1, 2, 4, got 3/,
    ],
    ['an order as text', changed((c) => (c.smoothing!.order = '2')), 'smoothing.order', /got "2"/],
    [
      'a moving average without its length',
      changed((c) => {
        delete c.smoothing!.lengthMs;
        c.smoothing!.kind = 'movingAverage';
      }),
      'smoothing.lengthMs',
      /from 1 to 500 ms, got nothing/,
    ],
    ['null for a length', changed((c) => (c.smoothing!.lengthMs = null)), 'smoothing.lengthMs', /got null/],
    ['a bigint', changed((c) => (c.guard!.holdMs = 5n)), 'guard.holdMs', /got 5/],
  ])('%s is refused, and its place named', (_name, candidate, path, message) => {
    let error: unknown;
    try {
      validateCandidate(candidate);
    } catch (caught) {
      error = caught;
    }
    expect(error).toBeInstanceOf(CandidateError);
    expect(error).toBeInstanceOf(RangeError);
    expect((error as CandidateError).path).toBe(path);
    expect((error as CandidateError).message).toMatch(message);
  });

  test('a candidate from before moving average and median has no length, and needs none', () => {
    for (const kind of ['none', 'firstOrder', 'butterworth']) {
      const old = changed((c) => {
        delete c.smoothing!.lengthMs;
        c.smoothing!.kind = kind;
      });
      const { smoothing } = DEFAULT_CANDIDATE;
      expect(validateCandidate(old)).toEqual({ ...DEFAULT_CANDIDATE, smoothing: { ...smoothing, kind } });
    }
  });

  test('what it returns is a frozen copy: a later change of what was given does not reach it', () => {
    const given = structuredClone(DEFAULT_CANDIDATE) as { guard: { holdMs: number } };
    const checked = validateCandidate(given);
    given.guard.holdMs = 99;
    expect(checked.guard.holdMs).toBe(0);
    expect(Object.isFrozen(checked) && Object.isFrozen(checked.guard)).toBe(true);
  });
});

describe('withField and readField', () => {
  test.each(NUMBERS)('%s takes both of its ends and changes nothing else', (path, rule) => {
    for (const end of [rule.min, rule.max]) {
      const changed = withField(DEFAULT_CANDIDATE, path, end);
      expect(readField(changed, path)).toBe(end);
      expect(Object.isFrozen(changed)).toBe(true);
      expect(validateCandidate(changed)).toEqual(changed);
      const others = everyPath.filter((other) => other !== path);
      for (const other of others) expect(readField(changed, other)).toBe(readField(DEFAULT_CANDIDATE, other));
    }
  });

  test.each(CHOICES)('%s takes each of its choices', (path, rule) => {
    for (const [value] of rule.choices)
      expect(readField(withField(DEFAULT_CANDIDATE, path, value), path)).toBe(value);
  });

  test('the candidate that it starts from stays as it was, and shares the groups that did not change', () => {
    const changed = withField(DEFAULT_CANDIDATE, 'guard.holdMs', 120);
    expect(DEFAULT_CANDIDATE.guard.holdMs).toBe(0);
    expect(changed.deflection).toBe(DEFAULT_CANDIDATE.deflection);
  });

  test.each(['guard', 'guard.', 'guard.toString', '__proto__.x', 'holdMs', ''])(
    'there is no setting "%s"',
    (path) => {
      expect(() => readField(DEFAULT_CANDIDATE, path)).toThrow(CandidateError);
      expect(() => withField(DEFAULT_CANDIDATE, path, 1)).toThrow(/no such setting/);
    },
  );
});
