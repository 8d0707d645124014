/** Files that the page writes and reads again; where each belongs must be said to whoever hands it in elsewhere. */
type OwnFile = 'candidate' | 'labels';

/** `format` in each of them that is JSON. */
export const FORMATS: Readonly<Record<OwnFile, string>> = {
  candidate: 'moulinet candidate',
  labels: 'moulinet labels',
};

/** What such a file is and where it belongs. */
export const BELONGS: Readonly<Record<OwnFile, string>> = {
  candidate:
    'this is a candidate: choose Import into A… or Import into B… beside the settings, or give it to evaluate with --candidate',
  labels:
    'this is a file of labels: open its take and choose Import… under its labels, or give it to evaluate with --labels',
};

const GROUPS = ['smoothing', 'guard', 'deflection', 'impact', 'stab', 'twist'] as const;
const LISTS = ['presses', 'spans', 'swings', 'gestures'] as const;

/** Which of them a text is, going by its beginning where it was cut; null for none. */
export function ownFile(text: string): OwnFile | null {
  const bare = text.replace(/^\uFEFF/, '');
  const stated = /^\s*\{\s*"format"\s*:\s*"([^"]*)"/.exec(bare)?.[1];
  for (const kind of ['candidate', 'labels'] as const) if (stated === FORMATS[kind]) return kind;
  if (/^\s*\{/.test(bare)) return ownDocument(parsed(bare));
  const header = (/^[^\r\n]*/.exec(bare)?.[0] ?? '').split(/[,;\t]/).map((cell) => cell.trim());
  return header.includes('what') && header.includes('startUs') ? 'labels' : null;
}

/** Which of them a parsed JSON document is: by what it holds where it does not say. */
export function ownDocument(value: unknown): OwnFile | null {
  if (!isRecord(value)) return null;
  const { format } = value;
  for (const kind of ['candidate', 'labels'] as const) if (format === FORMATS[kind]) return kind;
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
