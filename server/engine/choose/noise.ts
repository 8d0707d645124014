/**
 * Normal deviates, mean 0 and standard deviation 1, the same for the same seed: a stress must give the same verdict twice.
 * Source: G. E. P. Box & M. E. Muller, Ann. Math. Stat. 29 (1958), 610-611, on a 32-bit linear congruential generator
 * with the multiplier 1664525 and the increment 1013904223 (both from memory).
 */
export function gaussianNoise(seed: number): () => number {
  let state = seed >>> 0;
  let spare: number | null = null;
  const uniform = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state + 0.5) / 2 ** 32;
  };
  return () => {
    if (spare !== null) {
      const kept = spare;
      spare = null;
      return kept;
    }
    const radius = Math.sqrt(-2 * Math.log(uniform()));
    const angle = 2 * Math.PI * uniform();
    spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
}
