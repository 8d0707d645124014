/** Words that say which sensor a file is of, not which take. */
const SENSOR =
  /^(acc\w*|gyr\w*|imu|linear|user|gravity|angular|rate|rates|velocity|rotation|motion|sensor|raw)$/;

/**
 * How much two file names look like two files of one take, 0 to 1: the share of words that they have in common once
 * the words for the sensor are left out. Two names of nothing but such words are alike.
 */
export function fileLikeness(one: string, other: string): number {
  const [a, b] = [wordsOf(one), wordsOf(other)];
  const all = new Set([...a, ...b]);
  if (all.size === 0) return 1;
  return [...all].filter((word) => a.has(word) && b.has(word)).length / all.size;
}

function wordsOf(name: string): Set<string> {
  const words = name
    .replace(/\.[a-z0-9]+$/i, '')
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .replace(/([a-z])(\d)|(\d)([a-z])/gi, '$1$3 $2$4')
    .toLowerCase()
    .split(/[^\p{L}\p{N}]+/u);
  return new Set(words.filter((word) => word !== '' && !SENSOR.test(word)));
}
