import { describe, expect, test } from 'vitest';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { surroundings, takes } from './sweepTakes.ts';

const { smoothing } = DEFAULT_CANDIDATE;

describe('the reader', () => {
  test('reads a take once while nothing of it changes, and again with another calibration', async () => {
    const asked: string[] = [];
    const { around } = surroundings({}, asked);
    await around.reader.read(takes[0]!, smoothing);
    await around.reader.read(takes[0]!, { ...smoothing, cutoffHz: 10 });
    expect(asked).toEqual(['t1']);
    const calibration = { ...DEFAULT_CALIBRATION, mount: { tip: '+y', side: '-x' } as const };
    await around.reader.read({ ...takes[0]!, calibration }, smoothing);
    expect(asked).toEqual(['t1', 't1']);
  });

  test('a motion that it keeps is not overwritten by the next take’s', async () => {
    const { around } = surroundings();
    const { motion } = await around.reader.read(takes[0]!, smoothing);
    const before = structuredClone(motion);
    await around.reader.read(takes[1]!, smoothing);
    expect(motion).toEqual(before);
  });

  test('labels count from the next reading on', async () => {
    const { around } = surroundings();
    const spinning = { startUs: 2_000_000, endUs: 6_000_000, kind: 'spinning', by: 'person' as const };
    const before = await around.reader.read(takes[0]!, smoothing);
    const labels = { ...takes[0]!.labels, spans: [spinning] };
    const after = await around.reader.read({ ...takes[0]!, labels }, smoothing);
    expect(before.truth.spinning.length).toBe(3);
    expect(after.truth.spinning.length).toBe(1);
  });
});
