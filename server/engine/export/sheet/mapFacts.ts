import type { ProblemEvidence, SettingMap, SettingMargin } from '../../kept/keptSetting.ts';
import { sweptPaths } from '../../kept/sweptPaths.ts';
import { type NumberPath, settingAt } from '../../settings/candidateRules.ts';

/** A map with all that is drawn on it. */
export interface MapFacts {
  readonly map: SettingMap;
  readonly xLabel: string;
  readonly yLabel: string;
  readonly point: { readonly x: number; readonly y: number };
  readonly margins: { readonly x: SettingMargin; readonly y: SettingMargin } | null;
  /** What the program would choose, where that is another; else null. */
  readonly suggested: { readonly x: number; readonly y: number } | null;
}

export function mapFacts({ kind, x, y, suggested, margins }: ProblemEvidence, map: SettingMap): MapFacts {
  const paths = sweptPaths(kind);
  const isSame = suggested === null || (suggested.x === x && suggested.y === y);
  return {
    map,
    xLabel: axisLabel(paths.x),
    yLabel: axisLabel(paths.y),
    point: { x, y },
    margins,
    suggested: isSame ? null : suggested,
  };
}

function axisLabel(path: NumberPath): string {
  const { name, unit, partOf } = settingAt(path);
  if (partOf) return `${name} (part)`;
  return unit === '' ? name : `${name}, ${unit}`;
}
