import { escapeHtml as e } from './escapeHtml.ts';
import { mapFigure } from './mapFigure.ts';
import type { ToldProblem } from './problems.ts';
import type { ScoreTable } from './scores.ts';
import { NEVER_PATTERN } from './shades.ts';
import styleText from './sheet.css?raw';
import type { Sheet, ToldStill } from './sheet.ts';
import { stillSvg } from './stillSvg.ts';
import type { ToldTake } from './takes.ts';
import type { ValueGroup } from './values.ts';

/** Nothing is loaded, and nothing runs: the browser is told so, too. */
export const SHEET_POLICY = "default-src 'none'; style-src 'unsafe-inline'";

/** A sheet as one HTML file that needs nothing beside it. */
export function sheetHtml(sheet: Sheet): string {
  return [
    '<!doctype html>',
    '<html lang="en">',
    '<head>',
    '<meta charset="utf-8">',
    `<meta http-equiv="Content-Security-Policy" content="${SHEET_POLICY}">`,
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    `<title>${e(sheet.title)} · setting sheet</title>`,
    `<style>\n${styleText}</style>`,
    '</head>',
    '<body>',
    NEVER_PATTERN,
    head(sheet),
    section('Values', 'groups columns', sheet.groups.map(valueGroup).join('')),
    scores(sheet.scores),
    problems(sheet.problems),
    stills(sheet.stills),
    takes(sheet),
    section('Cautions', 'cautions', list(sheet.cautions)),
    section('How this was found', 'method columns', sheet.method.map((text) => `<p>${e(text)}</p>`).join('')),
    `<footer>${sheet.toSign.map((line) => `<span>${e(line)}</span>`).join('')}</footer>`,
    '</body>',
    '</html>',
    '',
  ].join('\n');
}

/** Empty where there is nothing in it. */
function section(title: string, name: string, content: string): string {
  return content === ''
    ? ''
    : `<section>\n<h2>${e(title)}</h2>\n<div class="${name}">${content}</div>\n</section>`;
}

function list(items: readonly string[]): string {
  return items.length === 0 ? '' : `<ul>${items.map((item) => `<li>${e(item)}</li>`).join('')}</ul>`;
}

function head({ title, facts, note, warnings }: Sheet): string {
  return [
    '<header>',
    '<p class="kind">Setting sheet</p>',
    `<h1>${e(title)}</h1>`,
    `<dl>${facts.map(([name, text]) => `<div><dt>${e(name)}</dt><dd>${e(text)}</dd></div>`).join('')}</dl>`,
    note === '' ? '' : `<p class="note">${e(note)}</p>`,
    ...warnings.map((warning) => `<p class="warning">${e(warning)}</p>`),
    '</header>',
  ].join('\n');
}

function valueGroup({ id, title, says, chosen, values }: ValueGroup): string {
  const rows = values.map(({ label, value, unit, aside }) => {
    const isWord = Number.isNaN(Number(value));
    const more = aside === '' ? '' : ` <small>${e(aside)}</small>`;
    const suffix = unit === '' ? '' : unit === '°' ? '<small>°</small>' : ` <small>${e(unit)}</small>`;
    return `<div class="value"><dt>${e(label)}</dt><dd${isWord ? ' class="is-word"' : ''}>${e(value)}${suffix}${more}</dd></div>`;
  });
  const who = chosen === '' ? '' : `<span class="chosen">${e(chosen)}</span>`;
  return `<article class="group is-${e(id)}"><h3>${e(title)}${who}</h3><p>${e(says)}</p><dl>${rows.join('')}</dl></article>\n`;
}

/** As many columns as a page has room for; what is more goes into tables below. */
const COLUMNS_AT_MOST = 4;

function scores(table: ScoreTable | null): string {
  if (table === null) return '';
  const tables: string[] = [];
  for (let from = 0; from < table.heads.length; from += COLUMNS_AT_MOST) {
    const cut = <Cell>(cells: readonly Cell[]) => cells.slice(from, from + COLUMNS_AT_MOST);
    const rows = table.rows.map((row) => ({ ...row, cells: cut(row.cells) }));
    tables.push(scoreColumns({ heads: cut(table.heads), rows }, table.heads.length === 1));
  }
  const small =
    'Small: about 95 % interval of the share. A time over several takes is the longest of their medians.';
  return section('Scores on these takes', 'scores', `${tables.join('')}<p class="quiet">${small}</p>`);
}

/** @param isAlone  without performers there is room for what each score counts. */
function scoreColumns({ heads, rows }: ScoreTable, isAlone: boolean): string {
  const shown = rows.map(({ group, name, says, cells }) => {
    const told = cells.map((cell) => {
      if (cell === null) return '<td class="none">–</td>';
      const interval = cell.interval === '' ? '' : ` <small>${e(cell.interval)}</small>`;
      return `<td${cell.isBad ? ' class="bad"' : ''}>${e(cell.text)}${interval}</td>`;
    });
    const more = isAlone ? `<br><small>${e(says)}</small>` : '';
    return `<tr><th scope="row">${e(group)}: ${e(name.toLowerCase())}${more}</th>${told.join('')}</tr>`;
  });
  const names = heads.map((name) => `<th scope="col">${e(name)}</th>`).join('');
  const head = isAlone ? '' : `<thead><tr><th></th>${names}</tr></thead>`;
  const body = `<table>${head}<tbody>${shown.join('\n')}</tbody></table>`;
  return `<div class="${isAlone ? 'columns' : 'wide'}">${body}</div>`;
}

function problems(all: readonly ToldProblem[]): string {
  const told = all.filter(({ declined }) => declined === null);
  const declined = all.flatMap(({ title, declined: why }) =>
    why === null ? [] : [`<p><b>${e(title)}.</b> ${e(why)}</p>`],
  );
  const little =
    declined.length === 0
      ? ''
      : `<article class="little"><h3>What these takes cannot tell</h3>${declined.join('')}</article>`;
  return section('How far it holds', 'problems', `${told.map(problem).join('')}${little}`);
}

function problem({ title, setting, paragraphs, map }: ToldProblem): string {
  const texts = paragraphs.map(({ head: name, text }) => `<p><b>${e(name)}.</b> ${e(text)}</p>`);
  const drawn = map === null ? '' : mapFigure(map, `${title}: what goes wrong with each pair of values`);
  return `<article class="problem"><h3>${e(title)} <span class="pair">${e(setting)}</span></h3><div class="beside">${drawn}<div>${texts.join('')}</div></div></article>\n`;
}

const STILL_LABEL = 'The blade at the press, with the way of its tip before it';

function stills(all: readonly ToldStill[]): string {
  const figures = all.map(
    ({ still, caption }) =>
      `<figure>${stillSvg({ ...still, label: STILL_LABEL })}<figcaption>${e(caption)}</figcaption></figure>`,
  );
  const key =
    'The blade from the hand at the moment of the press, filled where it is lit, with the way of its tip in the 1.5 s before: thick where the guard is closed, dashed where it is open. Up is up; the heading means nothing.';
  return section(
    'Presses it gets wrong',
    'stills',
    figures.length === 0 ? '' : `${figures.join('\n')}<p class="quiet">${key}</p>`,
  );
}

function takes({ takes: counting, leftOut, signals }: Sheet): string {
  const table =
    counting.length === 0
      ? ''
      : `<table><thead><tr><th scope="col">Take</th><th scope="col">Performer</th><th scope="col">Recording, start of SHA-256</th><th scope="col">Labels</th></tr></thead><tbody>${counting.map(takeRow).join('\n')}</tbody></table>`;
  const named = (title: string, items: readonly string[]) =>
    items.length === 0 ? '' : `<h3>${title}</h3>${list(items)}`;
  return section(
    'Takes',
    'takes',
    `${table}${named('Left out', leftOut)}${named('What not to trust in their signals', signals)}`,
  );
}

function takeRow({ title, performer, where, isSynthetic, sources, labels }: ToldTake): string {
  const files = sources.map(({ name, hash }) => `${e(name)} <code>${e(hash)}</code>`).join('<br>');
  const tag = isSynthetic ? ' <span class="tag">synthetic</span>' : '';
  const place = where === '' ? '' : `<br><small>${e(where)}</small>`;
  return `<tr><th scope="row">${e(title)}${tag}${place}</th><td>${e(performer)}</td><td>${files}</td><td>${e(labels)}</td></tr>`;
}
