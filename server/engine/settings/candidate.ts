import type { ValuesOf } from '../base/setting.ts';
import type { DETECTORS, DetectorId } from '../detect/detectors.ts';
import type { SMOOTHING_SETTINGS } from '../filter/smoothing.ts';

/** Every setting that there is, by group and name. */
export type Groups = { readonly smoothing: typeof SMOOTHING_SETTINGS } & {
  readonly [Id in DetectorId]: (typeof DETECTORS)[Id]['settings'];
};

/** A candidate: one setting of the smoothing and of every detector. Frozen; change one by making another. */
export type Candidate = { readonly [Group in keyof Groups]: ValuesOf<Groups[Group]> };
