import type { LightState } from '../../../server/engine/replay/light.ts';
import type { Scene } from './scene.ts';

/** All that makes a blade brighter or darker on screen: its light, that it is fainter where unsure, gone in a gap. */
export function shineOf({ index, light, isUnsure }: Scene): string {
  if (index === null) return 'gap';
  return isUnsure ? `${light}?` : light;
}

/**
 * A scene as it may be shown, while another shine than its own is held.
 * @param last  what was shown before.
 */
export function heldScene(scene: Scene, shine: string, last: Scene | undefined): Scene {
  if (shine === shineOf(scene)) return scene;
  if (shine === 'gap') return { ...scene, index: null };
  // In a gap there is no blade to show in another light: the one before stays.
  if (scene.index === null) return last ?? scene;
  return { ...scene, light: shine.replace('?', '') as LightState, isUnsure: shine.endsWith('?') };
}
