import { describe, expect, test } from 'vitest';
import { DEMO_TAKES } from '../../../scripts/simulate/demo/demoTakes.ts';
import { buildTimeBase } from '../../../server/engine/base/timeBase.ts';
import type { Cause } from '../../../server/engine/device/causes.ts';
import { type CauseSearch, findCause } from '../../../server/engine/device/findCause.ts';
import type { Candidate } from '../../../server/engine/settings/candidate.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { causeTexts } from '../../../server/engine/words/device.ts';
import { previewAndRead } from '../../../server/ingest/preview/preview.ts';
import { textSource } from '../../ingest/logs.ts';
import { hasCompiler } from '../prop/compiled.ts';
import { deviceLog, FAULTS, type Fault } from './deviceLogs.ts';

/** What the exported example prints of a demonstration take, read without a question and held against the bench. */
async function search(
  name: string,
  fault: Fault = {},
  candidate: Candidate = DEFAULT_CANDIDATE,
): Promise<CauseSearch> {
  const { text, seen } = deviceLog(name, candidate, fault);
  const { preview, take } = await previewAndRead([textSource(text)], {}, {});
  expect(preview.needs).toEqual([]);
  const { log, saturated, presses, decisions } = take!;
  const { uniform } = buildTimeBase(log, saturated);
  return findCause({
    uniform,
    presses,
    allPresses: presses,
    calibration: seen.calibration,
    candidate,
    logged: decisions!,
    others: [],
  });
}

const isMirrored = (cause: Cause) =>
  (cause.kind === 'mirrored' && cause.part !== 'accel') || cause.kind === 'mount';

/** For each fault whether a cause is the right one, and whether it has to stand first. */
const RIGHT: Readonly<Record<keyof typeof FAULTS, (cause: Cause, rateHz: number) => boolean>> = {
  cutoff: (cause) =>
    cause.kind === 'smoothing' &&
    cause.smoothing.kind === 'butterworth' &&
    cause.smoothing.order === 2 &&
    Math.abs(cause.smoothing.cutoffHz - 10) <= 0.6,
  // In whole samples, as a prop has it.
  delay: (cause, rateHz) => cause.kind === 'late' && cause.samples === Math.ceil((8 * rateHz) / 1000 - 0.01),
  mirrored: isMirrored,
  half: (cause) => cause.kind === 'everyNth' && cause.every === 2,
  miscounted: (cause, rateHz) => cause.kind === 'countedAt' && Math.abs(cause.rateHz - rateHz / 2) < 1,
};

/** A search takes as long as the take has samples: each fault on two takes at least, on the one that has dialled all. */
const FAULTS_OF: Readonly<Record<string, readonly (keyof typeof FAULTS)[]>> = {
  'spinner-slow-figure-eight': ['cutoff', 'mirrored'],
  'spinner-fast-figure-eight': ['mirrored'],
  'spinner-wall-plane': ['delay', 'mirrored'],
  'spinner-full-routine': ['half'],
  'duellist-twist-dial': ['cutoff', 'delay', 'mirrored', 'half', 'miscounted'],
  'beginner-first-lesson': ['cutoff', 'delay'],
};

/** Takes without a step of the dial, a twist or a stab: nothing that a prop decides in them goes by the blade's own axis. */
const BLIND_TO_X = ['spinner-wall-plane'];

describe.skipIf(!hasCompiler())('the log of the exported example', () => {
  describe.each(DEMO_TAKES.map(({ name, rateHz }) => [name, rateHz] as const))('of %s', (name, rateHz) => {
    test('decides as the bench', async () => {
      const { agreement, tried } = await search(name);
      expect(agreement.differences).toEqual([]);
      expect(agreement.lateUs).toBe(0);
      expect(agreement.n).toBeGreaterThan(50);
      expect(tried).toBe(0);
    });

    test.each(FAULTS_OF[name] ?? [])('with another %s: the cause is named', async (fault) => {
      const found = await search(name, FAULTS[fault]);
      if (found.tried === 0 && fault === 'mirrored') {
        expect(BLIND_TO_X).toContain(name);
        return;
      }
      const right = found.best.filter(({ cause }) => RIGHT[fault](cause, rateHz));
      expect(right, causeTexts(found).join('\n')).not.toEqual([]);
      if (fault !== 'miscounted') expect(found.best[0]).toBe(right[0]);
    });
  });

  test('of a button that acts when it is let go', async () => {
    const guard = { ...DEFAULT_CANDIDATE.guard, holdMs: 120, decideAt: 'release' as const };
    const { agreement } = await search('spinner-wall-plane', {}, { ...DEFAULT_CANDIDATE, guard });
    expect(agreement.differences).toEqual([]);
    expect(agreement.ofKind.get('press')).toEqual({ n: 20, alike: 20 });
    // It is held against the moment at which the button is let go: at the press others are refused.
    const atPress = await search(
      'spinner-wall-plane',
      {
        build: (build) => ({ ...build, candidate: { ...DEFAULT_CANDIDATE, guard } }),
      },
      { ...DEFAULT_CANDIDATE, guard: { ...guard, decideAt: 'press' } },
    );
    expect(atPress.agreement.ofKind.get('press')!.alike).toBeLessThan(20);
  });
});
