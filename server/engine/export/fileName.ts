const LONGEST = 80;

/** A name as that of a file which every file system takes: odd characters become hyphens; "setting" where nothing is left. */
export function fileNameOf(name: string): string {
  const plain = name.normalize('NFC').replace(/[^\p{L}\p{N} ._-]+/gu, '-');
  const cut = [...plain.replace(/^[^\p{L}\p{N}]+/u, '')].slice(0, LONGEST).join('');
  return cut.replace(/[-. ]+$/, '') || 'setting';
}
