import { describe, expect, test } from 'vitest';
import type { Press } from '../../../server/engine/base/log.ts';
import { DEFAULT_CALIBRATION } from '../../../server/engine/calibrate/calibration.ts';
import { computeMotion, type Motion } from '../../../server/engine/motion/motion.ts';
import { Remembered } from '../../../server/engine/motion/remembered.ts';
import { computeSignals } from '../../../server/engine/motion/signals.ts';
import type { Candidate } from '../../../server/engine/settings/candidate.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { wildLog } from '../uniformLogs.ts';

test('computes once for each motion and key, and keeps the last two keys', () => {
  const remembered = new Remembered<string>();
  const computed: string[] = [];
  const ask = (motion: Motion, name: string, key: string) =>
    remembered.get(motion, key, () => {
      computed.push(name + key);
      return name + key;
    });
  const [a, b] = [{} as Motion, {} as Motion];
  expect([ask(a, 'a', '1'), ask(a, 'a', '1'), ask(b, 'b', '1'), ask(a, 'a', '2')]).toEqual([
    'a1',
    'a1',
    'b1',
    'a2',
  ]);
  expect(computed).toEqual(['a1', 'b1', 'a2']);
  ask(a, 'a', '1');
  ask(a, 'a', '3');
  ask(a, 'a', '1');
  expect(computed).toEqual(['a1', 'b1', 'a2', 'a3', 'a1']);
});

describe('signals of one motion', () => {
  const motion = computeMotion(wildLog(8, 600, { stillSamples: 150 }), DEFAULT_CALIBRATION);
  const presses = [{ button: 'a', downUs: 1_500_000, upUs: null }];
  const signalsOf = (changes: Partial<Candidate>, downs: readonly Press[] = presses) =>
    computeSignals(motion, { ...DEFAULT_CANDIDATE, ...changes }, downs);
  const fromHold: Partial<Candidate> = { twist: { ...DEFAULT_CANDIDATE.twist, startAt: 'hold' } };

  test('share twist and impact whatever the smoothing, and nothing else that is smoothed', () => {
    const a = signalsOf({});
    const b = signalsOf({ smoothing: { kind: 'butterworth', order: 2, cutoffHz: 5, lengthMs: 25 } });
    expect(b.twistDeg).toBe(a.twistDeg);
    expect(b.impactG).toBe(a.impactG);
    expect(b.swingSpeedDps).not.toEqual(a.swingSpeedDps);
  });

  test('follow every setting and press that twist and impact depend on', () => {
    const a = signalsOf({});
    expect(signalsOf({ impact: { ...DEFAULT_CANDIDATE.impact, highPassHz: 35 } }).impactG).not.toEqual(
      a.impactG,
    );
    expect(signalsOf(fromHold).twistDeg).not.toEqual(a.twistDeg);
    const later = [{ button: 'a', downUs: 2_000_000, upUs: null }];
    expect(signalsOf(fromHold, later).twistDeg).not.toEqual(signalsOf(fromHold).twistDeg);
    expect(signalsOf({}).twistDeg).toEqual(a.twistDeg);
  });
});
