/** Names one by one, or where they are many the first ones and how many more. */
export function listed(names: readonly string[]): string {
  const shown = names.slice(0, 3).map((name) => `“${name}”`);
  if (names.length > 3) return `${shown.join(', ')} and ${names.length - 3} more takes`;
  return shown.length < 2 ? shown.join('') : `${shown.slice(0, -1).join(', ')} and ${shown.at(-1)}`;
}
