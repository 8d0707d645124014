/** Runs pieces of work with the same key one after the other, and knows when all of them are done. */
export class SerialWork {
  private readonly last = new Map<string, Promise<unknown>>();

  run<T>(key: string, work: () => Promise<T>): Promise<T> {
    const result = (this.last.get(key) ?? Promise.resolve()).then(work);
    const settled = result
      .catch(() => {})
      .then(() => {
        if (this.last.get(key) === settled) this.last.delete(key);
      });
    this.last.set(key, settled);
    return result;
  }

  /** Resolves once everything begun so far, and what it begins, has ended, well or not. */
  async idle(): Promise<void> {
    while (this.last.size > 0) await Promise.all(this.last.values());
  }
}
