import {
  FIELD_RULES,
  type FieldPath,
  type FieldRule,
  type NumberPath,
} from '../../server/engine/settings/candidateRules.ts';

/** How a setting appears in a narrow panel: a short name, how far its slider reaches, what an arrow key adds. */
export interface FieldWords {
  readonly name: string;
  readonly sliderMax: number;
  readonly nudge: number;
}

const WORDS: Readonly<Record<NumberPath, FieldWords>> = {
  'smoothing.cutoffHz': words('Cut-off', 60, 1),
  'smoothing.lengthMs': words('Length', 200, 1),
  'guard.speedDps': words('Swing speed', 1000, 1),
  'guard.holdMs': words('Hold after swing', 600, 1),
  'guard.releaseRatio': words('Lets go below', 1, 0.01),
  'deflection.speedDps': words('Swing speed', 1000, 1),
  'deflection.rearmRatio': words('Re-arm below', 1, 0.01),
  'deflection.restMs': words('Rest between', 600, 1),
  'deflection.confirmMs': words('Confirm for', 200, 1),
  'impact.impactG': words('Hit from', 20, 0.1),
  'impact.restMs': words('Rest between', 600, 1),
  'impact.allowanceGPer100Dps': words('Rise per 100 °/s', 2, 0.05),
  'impact.highPassHz': words('Listens above', 80, 1),
  'stab.thrustG': words('Thrust', 6, 0.1),
  'stab.sustainMs': words('Lasting', 200, 1),
  'stab.quietDps': words('Swing at most', 600, 1),
  'stab.quietBeforeMs': words('Quiet before', 500, 5),
  'stab.windowMs': words('Hit within', 500, 1),
  'stab.untilHitDps': words('Swing until hit', 1000, 5),
  'stab.hitRatio': words('Part of a hit', 1, 0.01),
  'twist.angleDeg': words('Turn', 180, 1),
  'twist.windowMs': words('Within', 2000, 10),
  'twist.quietDps': words('Swing at most', 600, 1),
  'twist.degPerStep': words('Dial step', 90, 1),
};

const CHOICE_NAMES: Readonly<Record<Exclude<FieldPath, NumberPath>, string>> = {
  'smoothing.kind': 'Kind',
  'smoothing.order': 'Order',
  'guard.decideAt': 'Button acts when',
  'twist.startAt': 'Counts from',
};

export function wordsOf(path: NumberPath): FieldWords & { readonly rule: FieldRule } {
  return { ...WORDS[path], rule: ruleOf(path) };
}

export function choiceName(path: keyof typeof CHOICE_NAMES): string {
  return CHOICE_NAMES[path];
}

/** A value within its bounds, without the dust of binary fractions. */
export function limited(path: NumberPath, value: number): number {
  const { min, max } = ruleOf(path);
  return Number(Math.min(max, Math.max(min, value)).toFixed(6));
}

function ruleOf(path: NumberPath): FieldRule {
  return FIELD_RULES[path]!;
}

function words(name: string, sliderMax: number, nudge: number): FieldWords {
  return { name, sliderMax, nudge };
}
