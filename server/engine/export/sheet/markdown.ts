import type { ToldProblem } from './problems.ts';
import type { ScoreTable } from './scores.ts';
import type { Sheet } from './sheet.ts';
import type { ToldTake } from './takes.ts';
import type { ValueGroup } from './values.ts';

/** A sheet as Markdown, without the maps. */
export function sheetMarkdown(sheet: Sheet): string {
  const { title, facts, note, warnings, cautions, method, toSign } = sheet;
  const blocks = [
    `# ${m(title)}`,
    'Setting sheet.',
    facts.map(([name, text]) => `**${m(name)}:** ${m(text)}`).join('  \n'),
    ...note
      .split('\n')
      .filter((line) => line !== '')
      .map(m),
    ...warnings.map((warning) => `> **${m(warning)}**`),
    '## Values',
    ...sheet.groups.flatMap(groupBlocks),
    ...scoreBlocks(sheet.scores),
    ...problemBlocks(sheet.problems),
    ...(sheet.stills.length === 0
      ? []
      : ['## Presses it gets wrong', list(sheet.stills.map(({ caption }) => caption))]),
    ...takeBlocks(sheet),
    '## Cautions',
    list(cautions),
    ...(method.length === 0 ? [] : ['## How this was found', ...method.map(m)]),
    toSign.map((line) => `${m(line)}: ______________________`).join('  \n'),
  ];
  return `${blocks.join('\n\n')}\n`;
}

/** Text that stays text: what Markdown, or HTML in it, would take for a sign is escaped. */
function m(text: string): string {
  return text.replace(/[\r\n]+/g, ' ').replace(/[\\`*_{}[\]<>#|~&!]/g, '\\$&');
}

function list(items: readonly string[]): string {
  return items.map((item) => `- ${m(item)}`).join('\n');
}

function table(heads: readonly string[], rows: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]) => `| ${cells.join(' | ')} |`;
  return [line(heads), line(heads.map(() => '---')), ...rows.map(line)].join('\n');
}

function groupBlocks({ title, says, chosen, values }: ValueGroup): string[] {
  const rows = values.map(({ label, value, unit, aside }) => [
    m(label),
    `**${m(value)}${unit === '' || unit === '°' ? unit : ` ${m(unit)}`}**${aside === '' ? '' : ` ${m(aside)}`}`,
  ]);
  const who = chosen === '' ? '' : ` (${m(chosen)})`;
  return [`### ${m(title)}${who}`, m(says), table(['what', 'value'], rows)];
}

function scoreBlocks(scores: ScoreTable | null): string[] {
  if (scores === null) return [];
  const rows = scores.rows.map(({ group, name, says, cells }) => [
    m(`${group}: ${name.toLowerCase()} (${says})`),
    ...cells.map((cell) =>
      cell === null ? '–' : `${m(cell.text)}${cell.interval === '' ? '' : ` (${m(cell.interval)})`}`,
    ),
  ]);
  return [
    '## Scores on these takes',
    table(['score', ...scores.heads.map(m)], rows),
    'In brackets: about 95 % interval of the share. A time over several takes is the longest of their medians.',
  ];
}

function problemBlocks(problems: readonly ToldProblem[]): string[] {
  if (problems.length === 0) return [];
  return [
    '## How far it holds',
    ...problems.flatMap(({ title, setting, declined, paragraphs }) =>
      declined === null
        ? [
            `### ${m(title)}: ${m(setting)}`,
            ...paragraphs.map(({ head, text }) => `**${m(head)}.** ${m(text)}`),
          ]
        : [`### ${m(title)}`, `These takes cannot tell. ${m(declined)}`],
    ),
  ];
}

function takeBlocks({ takes, leftOut, signals }: Sheet): string[] {
  const named = (title: string, items: readonly string[]) =>
    items.length === 0 ? [] : [`### ${title}`, list(items)];
  if (takes.length + leftOut.length === 0) return [];
  return [
    '## Takes',
    ...(takes.length === 0
      ? []
      : [table(['take', 'performer', 'recording, start of its SHA-256', 'labels'], takes.map(takeRow))]),
    ...named('Left out', leftOut),
    ...named('What not to trust in their signals', signals),
  ];
}

function takeRow({ title, performer, where, isSynthetic, sources, labels }: ToldTake): string[] {
  const tags = [...(isSynthetic ? ['**synthetic**'] : []), ...(where === '' ? [] : [m(where)])];
  return [
    [m(title), ...tags].join(', '),
    m(performer),
    sources.map(({ name, hash }) => `${m(name)} ${hash}`).join(', '),
    m(labels),
  ];
}
