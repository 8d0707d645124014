import { readFileSync } from 'node:fs';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { number } from '../../../server/engine/base/setting.ts';
import { parseCandidateFile } from '../../../server/engine/settings/candidateFile.ts';
import {
  CANDIDATE_VERSION,
  CandidateError,
  DEFAULT_CANDIDATE,
  validateCandidate,
} from '../../../server/engine/settings/candidateRules.ts';

/** As the program of each version wrote it, every setting moved away from its default. */
const textOf = (name: string) => readFileSync(new URL(`documents/${name}.json`, import.meta.url), 'utf8');

const WRITTEN = {
  smoothing: { kind: 'movingAverage', order: 4, cutoffHz: 12.5, lengthMs: 40 },
  guard: {
    speedDps: 185,
    holdMs: 145,
    releaseRatio: 0.7,
    decideAt: 'held',
    heldLimitMs: 700,
    pressLength: 'long',
    longFromMs: 350,
    debounceMs: 12,
  },
  deflection: {
    speedDps: 305,
    rearmRatio: 0.45,
    restMs: 220,
    confirmMs: 10,
    switchedOn: 'held',
    debounceMs: 18,
  },
  stab: {
    thrustG: 1.3,
    sustainMs: 25,
    quietDps: 170,
    quietBeforeMs: 240,
    windowMs: 135,
    untilHitDps: 280,
    hitRatio: 0.3,
  },
  impact: { impactG: 2.9, allowanceGPer100Dps: 0.25, restMs: 90, highPassHz: 18 },
  twist: { angleDeg: 75, windowMs: 550, quietDps: 105, degPerStep: 12, startAt: 'hold' },
};
/** The button of versions 1 and 2 knew no length of a press, no debounce, and no holding on. */
const PLAIN_BUTTON = {
  decideAt: 'release',
  heldLimitMs: 1000,
  pressLength: 'any',
  longFromMs: 500,
  debounceMs: 0,
};
/** The deflection of versions 1 to 3 was always on. */
const ALWAYS_ON = {
  ...WRITTEN,
  deflection: { ...WRITTEN.deflection, switchedOn: 'always', debounceMs: 0 },
};
const BEFORE_BUTTON = { ...ALWAYS_ON, guard: { ...WRITTEN.guard, ...PLAIN_BUTTON } };
/** A stab of version 1 knew no quiet, no speed until the hit, and hits from a quarter of the impact's level on. */
const OF_VERSION = {
  1: { ...BEFORE_BUTTON, stab: { ...WRITTEN.stab, quietBeforeMs: 0, untilHitDps: 10000, hitRatio: 0.25 } },
  2: BEFORE_BUTTON,
  3: ALWAYS_ON,
  4: WRITTEN,
} as const;

describe.each([1, 2, 3, 4] as const)('as version %d of the program wrote it', (version) => {
  test('a candidate file reads as it was meant', () => {
    expect(parseCandidateFile(textOf(`file-v${version}`))).toEqual({
      ...DEFAULT_CANDIDATE,
      ...OF_VERSION[version],
    });
  });

  test('so does a stored candidate, which named no version then', () => {
    expect(validateCandidate(JSON.parse(textOf(`stored-v${version}`)).a, 1)).toEqual({
      ...DEFAULT_CANDIDATE,
      ...OF_VERSION[version],
    });
  });
});

const NEXT = CANDIDATE_VERSION + 1;

describe('with a detector that the next version brings', () => {
  afterEach(() => vi.resetModules());

  async function grown() {
    vi.resetModules();
    vi.doMock('../../../server/engine/detect/detectors.ts', async (original) => {
      const module = await original<typeof import('../../../server/engine/detect/detectors.ts')>();
      const numbers = { byDefault: 7, min: 1, max: 9, sliderMax: 9, step: 1, unit: 'g' } as const;
      const settings = { joltG: number(numbers, 'Jolt', 'Jolt from') };
      const jolt = { title: 'Jolt', name: 'Jolt', since: NEXT, settings };
      return { ...module, DETECTORS: { ...module.DETECTORS, jolt } };
    });
    const rules = await import('../../../server/engine/settings/candidateRules.ts');
    const file = await import('../../../server/engine/settings/candidateFile.ts');
    vi.doUnmock('../../../server/engine/detect/detectors.ts');
    return { ...rules, ...file };
  }

  test.each([1, 2, 3, 4] as const)(
    'a file of version %d reads as it was meant, and has its defaults',
    async (version) => {
      const { parseCandidateFile: parse } = await grown();
      expect(parse(textOf(`file-v${version}`))).toEqual({
        ...DEFAULT_CANDIDATE,
        ...OF_VERSION[version],
        jolt: { joltG: 7 },
      });
    },
  );

  test('files are of the next version, and must hold it', async () => {
    const { parseCandidateFile: parse, formatCandidateFile: format, DEFAULT_CANDIDATE } = await grown();
    const text = format(DEFAULT_CANDIDATE);
    expect(JSON.parse(text)).toMatchObject({ version: NEXT, jolt: { joltG: 7 } });
    const { jolt: _, ...without } = JSON.parse(text);
    expect(() => parse(JSON.stringify(without))).toThrow('jolt: is missing');
  });

  test('the program of today refuses such a file, and says why', async () => {
    const { formatCandidateFile: format, DEFAULT_CANDIDATE: one } = await grown();
    const text = format(one);
    expect(() => parseCandidateFile(text)).toThrow(CandidateError);
    expect(() => parseCandidateFile(text)).toThrow(
      `version: a newer version of this program wrote it: it is ${NEXT}`,
    );
  });
});
