import { Track } from './track.ts';

/**
 * The chain from the earth (z up) to the prop frame, outermost first. The first three set the plane that the blade
 * swings in, `swing` turns the blade in that plane, `lift` out of it, `twist` about itself; the tremor comes last,
 * so that the motion before it is the intended one. Angles in degrees.
 */
export const JOINTS = [
  { name: 'heading', axis: 2 },
  { name: 'tilt', axis: 1 },
  { name: 'bank', axis: 0 },
  { name: 'swing', axis: 2 },
  { name: 'lift', axis: 1 },
  { name: 'twist', axis: 0 },
  { name: 'tremorZ', axis: 2 },
  { name: 'tremorY', axis: 1 },
  { name: 'tremorX', axis: 0 },
] as const satisfies readonly { name: string; axis: 0 | 1 | 2 }[];

export type JointName = (typeof JOINTS)[number]['name'];
/** The turning point's place in the earth frame, in metres. */
export type HandName = 'handX' | 'handY' | 'handZ';
/** How far the prop has slipped along the blade through the hand, in metres: added to the sensor's way from the turning point. */
export type SlipName = 'slip';
export type Joints = Readonly<Record<JointName | HandName | SlipName, Track>>;

export function stillJoints(): Joints {
  const names = [...JOINTS.map((joint) => joint.name), 'handX', 'handY', 'handZ', 'slip'] as const;
  return Object.fromEntries(names.map((name) => [name, new Track()])) as unknown as Joints;
}
