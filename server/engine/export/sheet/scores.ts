import { type Cell, SCORE_COLUMNS } from '../../compare/cells.ts';
import { DETECTORS } from '../../detect/detectors.ts';
import type { SettingEvidence } from '../../kept/keptSetting.ts';
import { figure, percent, percentRange } from '../../words/count.ts';

/** Scores as rows, over all takes and by performer, prop and session where there are several. */
export interface ScoreTable {
  readonly heads: readonly string[];
  readonly rows: readonly ScoreRow[];
}

export interface ScoreRow {
  readonly group: string;
  readonly name: string;
  readonly says: string;
  /** As many as heads; null where there was nothing to score. */
  readonly cells: readonly (ToldScore | null)[];
}

export interface ToldScore {
  readonly text: string;
  /** '' where it has none. */
  readonly interval: string;
  /** Whether it counts things that went wrong, and some did. */
  readonly isBad: boolean;
}

/** null where nothing was scored. */
export function scoreTable({ scores, groups }: SettingEvidence): ScoreTable | null {
  const columns = [scores, ...groups.map((group) => group.scores)];
  const rows = SCORE_COLUMNS.map(({ id, group, name, says }) => ({
    group: DETECTORS[group].name,
    name,
    says,
    cells: columns.map((column) => (column[id] === undefined ? null : toldScore(column[id]))),
  })).filter(({ cells }) => cells.some((cell) => cell !== null));
  if (rows.length === 0) return null;
  return { heads: ['all', ...groups.map(({ by, name }) => (name === '' ? `no ${by} named` : name))], rows };
}

function toldScore(cell: Cell): ToldScore {
  switch (cell.kind) {
    case 'count': {
      const interval = cell.interval === null ? '' : percentRange(cell.interval);
      return { text: `${cell.k} of ${cell.n}`, interval, isBad: cell.k > 0 };
    }
    case 'share':
      return { text: `${percent(cell.share, 1)} of ${figure(cell.ofS)} s`, interval: '', isBad: false };
    case 'ms':
      return { text: `${cell.ms.toFixed(0)} ms`, interval: '', isBad: false };
    case 'number':
      return { text: String(cell.n), interval: '', isBad: cell.n > 0 };
  }
}
