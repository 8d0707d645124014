const PRIME = 0x01000193;
const OFFSET_BASES = [0x811c9dc5, 0x9e3779b9] as const;

/**
 * A short text that changes with a longer one: two FNV-1a hashes of 32 bits over its UTF-16 units, the second from another
 * start, so that two texts are taken for one about once in 10^19. It is no protection against somebody who wants that.
 * Source: G. Fowler, L. C. Noll, K.-P. Vo, D. Eastlake, "The FNV Non-Cryptographic Hash Algorithm".
 */
export function fingerprint(text: string): string {
  return OFFSET_BASES.map((basis) => fnv1a(text, basis).toString(16).padStart(8, '0')).join('');
}

/** @param basis  where it starts; the published one by default. */
export function fnv1a(text: string, basis: number = OFFSET_BASES[0]): number {
  let hash = basis;
  const take = (byte: number): void => {
    hash = Math.imul(hash ^ byte, PRIME) >>> 0;
  };
  for (let i = 0; i < text.length; ++i) {
    const unit = text.charCodeAt(i);
    if (unit > 0xff) take(unit >>> 8);
    take(unit & 0xff);
  }
  return hash;
}
