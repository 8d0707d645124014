import { describe, expect, test } from 'vitest';
import { heldScene, shineOf } from '../../web/panels/replay/heldScene.ts';
import type { Scene } from '../../web/panels/replay/scene.ts';

const LIT: Scene = {
  path: { q: new Float32Array(0), unsure: [] },
  timeline: { timeUs: new Float64Array(0), segments: [] },
  closed: new Uint8Array(0),
  index: 7,
  light: 'lit',
  marks: [],
  thrustG: 0,
  hardestG: 0,
  isUnsure: false,
};
const DARK: Scene = { ...LIT, index: 9, light: 'dark' };
const GAP: Scene = { ...LIT, index: null };
const UNSURE: Scene = { ...LIT, index: 8, isUnsure: true };

describe('what is shown while a change of light waits', () => {
  test('light, a blade that is not sure and a gap are all changes', () => {
    expect(new Set([LIT, DARK, GAP, UNSURE].map(shineOf)).size).toBe(4);
  });

  test.each([
    ['a dark blade moves on in the light before', DARK, LIT, { index: 9, light: 'lit' }],
    ['a gap leaves the blade where it was', GAP, LIT, { index: 7, light: 'lit' }],
    ['a blade behind a gap stays away', DARK, GAP, { index: null }],
    ['one that becomes unsure stays as bright', UNSURE, LIT, { index: 8, isUnsure: false }],
    ['one that is sure again stays as faint', LIT, UNSURE, { index: 7, isUnsure: true }],
  ] as const)('%s', (_name, scene, before, expected) => {
    const held = heldScene(scene, shineOf(before), before);
    expect(held).toMatchObject(expected);
    expect(shineOf(held)).toBe(shineOf(before));
  });

  test('where nothing waits the scene is shown as it is', () => {
    for (const scene of [LIT, DARK, GAP, UNSURE]) expect(heldScene(scene, shineOf(scene), LIT)).toBe(scene);
  });
});
