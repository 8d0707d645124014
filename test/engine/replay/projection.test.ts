import { describe, expect, test } from 'vitest';
import { Projection, STEEPEST_DEG, turnView } from '../../../server/engine/replay/projection.ts';
import { fc } from '../properties.ts';

const STRAIGHT = { yawDeg: 0, pitchDeg: 0 };
const seen = (view: typeof STRAIGHT, x: number, y: number, z: number) => {
  const p = new Projection(view, 200, 200).place(x, y, z);
  return { x: p.x, y: p.y, near: p.near };
};

describe('Projection', () => {
  test('the hand is in the middle, x to the right, z up, and what is nearer is larger', () => {
    expect(seen(STRAIGHT, 0, 0, 0)).toEqual({ x: 100, y: 100, near: 1 });
    expect(seen(STRAIGHT, 1, 0, 0).x).toBeGreaterThan(150);
    expect(seen(STRAIGHT, 0, 0, 1).y).toBeLessThan(50);
    expect(seen(STRAIGHT, 0, -1, 0).near).toBeGreaterThan(1);
    expect(seen(STRAIGHT, 0, 1, 0).near).toBeLessThan(1);
  });

  test('from above, what lies toward the eye is lower in the picture', () => {
    expect(seen({ yawDeg: 0, pitchDeg: 40 }, 0, -1, 0).y).toBeGreaterThan(101);
    expect(seen({ yawDeg: 0, pitchDeg: -40 }, 0, -1, 0).y).toBeLessThan(99);
  });

  test('a quarter turn shows the blade that pointed away to the right', () => {
    const { x, y, near } = seen({ yawDeg: 90, pitchDeg: 0 }, 0, 1, 0);
    expect(x).toBeCloseTo(seen(STRAIGHT, 1, 0, 0).x, 9);
    expect(y).toBeCloseTo(100, 9);
    expect(near).toBeCloseTo(1, 9);
  });

  test('the tip stays in the picture wherever it points and wherever one stands', () => {
    const angle = fc.double({ min: -Math.PI, max: Math.PI, noNaN: true });
    const pitch = fc.double({ min: -STEEPEST_DEG, max: STEEPEST_DEG, noNaN: true });
    fc.assert(
      fc.property(angle, angle, angle, pitch, (lon, lat, yaw, pitchDeg) => {
        const view = { yawDeg: (yaw * 180) / Math.PI, pitchDeg };
        const { x, y } = new Projection(view, 300, 200).place(
          Math.cos(lat) * Math.cos(lon),
          Math.cos(lat) * Math.sin(lon),
          Math.sin(lat),
        );
        expect(Math.hypot(x - 150, y - 100)).toBeLessThan(100);
      }),
    );
  });

  test('a view never tips over', () => {
    expect(turnView({ yawDeg: 350, pitchDeg: 80 }, 20, 30)).toEqual({ yawDeg: 10, pitchDeg: STEEPEST_DEG });
    expect(turnView(STRAIGHT, 0, -300).pitchDeg).toBe(-STEEPEST_DEG);
  });
});
