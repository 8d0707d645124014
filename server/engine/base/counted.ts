/** A count with its noun: `1 press`, `2 presses`. */
export function many(count: number, one: string, several: string): string {
  return `${count} ${count === 1 ? one : several}`;
}
