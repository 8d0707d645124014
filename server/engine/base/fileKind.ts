/** Kinds of files that the page writes and reads again. */
type FileKind = 'candidate' | 'labels' | 'setting';

/** The `format` of each, where it is JSON. */
export const FORMATS: Readonly<Record<FileKind, string>> = {
  candidate: 'moulinet candidate',
  labels: 'moulinet labels',
  setting: 'moulinet setting',
};

/** What each is and where it belongs, for a user who hands it in elsewhere. */
export const BELONGS: Readonly<Record<FileKind, string>> = {
  candidate:
    'this is a candidate: choose Import into A… or Import into B… beside the settings, or give it to evaluate with --candidate',
  labels:
    'this is a file of labels: open its take and choose Import… under its labels, or give it to evaluate with --labels',
  setting:
    'this is a kept setting: choose Import into A… or Import into B… beside the settings, or give it to export or gate with --setting',
};

const KINDS = ['candidate', 'labels', 'setting'] as const;

const GROUPS = ['smoothing', 'guard', 'deflection', 'impact', 'stab', 'twist'] as const;
const LISTS = ['presses', 'spans', 'swings', 'gestures'] as const;

/** The kind of a text, judged by its beginning where it was cut; null for none. */
export function fileKindOf(text: string): FileKind | null {
  const bare = text.replace(/^\uFEFF/, '');
  const stated = /^\s*\{\s*"format"\s*:\s*"([^"]*)"/.exec(bare)?.[1];
  for (const kind of KINDS) if (stated === FORMATS[kind]) return kind;
  if (/^\s*\{/.test(bare)) return documentKindOf(parsed(bare));
  const header = (/^[^\r\n]*/.exec(bare)?.[0] ?? '').split(/[,;\t]/).map((cell) => cell.trim());
  return header.includes('what') && header.includes('startUs') ? 'labels' : null;
}

/** The kind of a parsed JSON document: by its format, or else by what it holds; null for none. */
export function documentKindOf(value: unknown): FileKind | null {
  if (!isRecord(value)) return null;
  const { format } = value;
  for (const kind of KINDS) if (format === FORMATS[kind]) return kind;
  if (GROUPS.filter((group) => isRecord(value[group])).length > 1) return 'candidate';
  const root = isRecord(value['labels']) ? value['labels'] : value;
  return LISTS.some((list) => Array.isArray(root[list])) ? 'labels' : null;
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
