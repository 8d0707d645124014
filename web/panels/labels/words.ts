import type { LabelBy } from '../../../server/engine/labels/labels.ts';

export const BY_WORDS: Readonly<Record<LabelBy, string>> = {
  person: 'labelled by a person',
  program: 'proposed by the program',
  simulation: 'known from the simulation',
};

/** The name of a kind of label: a drill goes by its own name. */
export function kindName(kind: string): string {
  return KIND_NAMES[kind] ?? `“${kind}”`;
}

const KIND_NAMES: Readonly<Record<string, string>> = {
  swing: 'Swing',
  spinning: 'Spin',
  still: 'Still',
  thrust: 'Thrust',
  hit: 'Hit',
  twist: 'Twist',
  'no swing': 'No swing',
  'no spin': 'No spin',
  'no rest': 'No rest',
  'no thrust': 'No thrust',
  'no hit': 'No hit',
  'no twist': 'No twist',
};

/** Kinds that every take offers to label, in the order of the choice. */
export const OFFERED_KINDS: readonly string[] = [
  'spinning',
  'still',
  'swing',
  'thrust',
  'hit',
  'twist',
  'no swing',
];
