import type { DecisionRole } from '../../engine/base/columnRoles.ts';
import {
  FIRE_KINDS,
  type FireKind,
  type LoggedDecisions,
  type LoggedFire,
} from '../../engine/base/decisions.ts';
import type { Span } from '../../engine/base/log.ts';
import type { NamedColumn } from '../layout/triples.ts';
import { shorten } from '../text/cells.ts';

/** A cell of such a column that says something, with its row; the row of a state that goes on is that of its first one. */
export interface DecisionCell {
  readonly row: number;
  readonly timeUs: number;
  readonly text: string;
}

/** A cell that says nothing that can be read. */
export interface OddCell {
  readonly row: number;
  readonly text: string;
}

const NAMES: Readonly<Record<string, DecisionRole>> = {
  'guard closed': 'guardClosed',
  'press refused': 'pressRefused',
  fired: 'fired',
};
const WORDS: Readonly<Record<DecisionRole, string>> = {
  guardClosed: 'guard closed',
  pressRefused: 'press refused',
  fired: 'fired',
};
/** What such a column's cells have to be, as an error says it. */
export const EXPECTED: Readonly<Record<DecisionRole, string>> = {
  guardClosed: '0 or 1',
  pressRefused: '0 or 1',
  fired: `0, or what fired: ${FIRE_KINDS.slice(0, -1).join(', ')} or dial:STEPS, joined by +`,
};
const NOTHING_FIRED = '0';

/** What a column is by a name that leaves nothing open; null for every other name. */
function namedRole(name: string): DecisionRole | null {
  return (
    NAMES[
      name
        .trim()
        .toLowerCase()
        .replace(/[\s_-]+/g, ' ')
    ] ?? null
  );
}

/** A column whose name says that the prop decided it; `role` is null where its first cells do not. */
export function guessDecision({
  name,
  sample,
}: NamedColumn): { readonly role: DecisionRole | null; readonly reason: string } | null {
  const role = namedRole(name);
  if (role === null) return null;
  const odd = sample.distinct.find((text) => !isReadable(role, text));
  if (odd !== undefined)
    return {
      role: null,
      reason: `its name says ${WORDS[role]}, but it holds "${shorten(odd)}": expected ${EXPECTED[role]}`,
    };
  return { role, reason: `its name says what the prop decided: ${WORDS[role]}` };
}

/** True for cells of which each is an event of its own, also where the row above has the same. */
export function isEvent(role: DecisionRole, text: string): boolean {
  return role === 'fired' && text !== NOTHING_FIRED;
}

/** The first cell that cannot be read; null where all can. */
export function findOddCell(role: DecisionRole, cells: readonly DecisionCell[]): OddCell | null {
  return cells.find(({ text }) => !isReadable(role, text)) ?? null;
}

/** @param cells  all of them can be read. */
export function readDecisions(
  role: DecisionRole,
  cells: readonly DecisionCell[],
  endUs: number,
): Partial<LoggedDecisions> {
  switch (role) {
    case 'guardClosed':
      return { guardClosed: readSpans(cells, endUs) };
    case 'pressRefused':
      return { refusedUs: cells.filter(({ text }) => text === '1').map(({ timeUs }) => timeUs) };
    case 'fired':
      return { fires: readFires(cells) };
  }
}

function isReadable(role: DecisionRole, text: string): boolean {
  return role === 'fired' ? firesOf(text) !== null : text === '0' || text === '1';
}

/** A span that lasts to the log's end is said to end behind its last row. */
function readSpans(cells: readonly DecisionCell[], endUs: number): Span[] {
  return cells.flatMap(({ timeUs, text }, i): Span[] =>
    text === '1' ? [{ startUs: timeUs, endUs: cells[i + 1]?.timeUs ?? endUs + 1 }] : [],
  );
}

/** A detector that stays on over rows that follow one another fires once. */
function readFires(cells: readonly DecisionCell[]): LoggedFire[] {
  return cells.flatMap(({ row, timeUs, text }, i): LoggedFire[] => {
    const before = cells[i - 1];
    const last = before && row - before.row === 1 ? firesOf(before.text)! : [];
    return firesOf(text)!.flatMap(({ kind, steps }): LoggedFire[] =>
      kind !== 'dial' && last.some((own) => own.kind === kind) ? [] : [{ kind, steps, atUs: timeUs }],
    );
  });
}

/** What one cell tells; null where it is none of what it may be. */
function firesOf(text: string): { readonly kind: FireKind; readonly steps: number }[] | null {
  if (text === NOTHING_FIRED) return [];
  const parts = text.split('+').map((part) => {
    const [, name, steps] = /^([a-z]+)(?::(-?[1-9]\d{0,3}))?$/.exec(part.trim()) ?? [];
    const kind = FIRE_KINDS.find((own) => own === name);
    const isWhole = kind !== undefined && (kind === 'dial') === (steps !== undefined);
    return isWhole ? { kind, steps: Number(steps ?? 1) } : null;
  });
  const known = parts.filter((part) => part !== null);
  return known.length === parts.length ? known : null;
}
