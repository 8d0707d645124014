import { expect, test } from 'vitest';
import { describeInBrowser } from './harness.ts';

describeInBrowser('a page that is opened again', { withDemo: true }, (bench) => {
  test('shows what was worked out before without reading a take, and a new label costs its own take only', async () => {
    const page = await bench.openPage('/#view=compare');
    const compared = () => page.locator('[data-compare="done"]').waitFor({ timeout: 90_000 });
    const table = () => page.locator('.performers').innerText();
    await compared();
    await expect.poll(() => page.locator('.badge:not([aria-hidden])').count(), { timeout: 90_000 }).toBe(8);
    const before = await table();
    // Of each take its facts, both candidates' scores, and whether it is fit; those come last.
    await expect.poll(() => page.evaluate(countFound), { timeout: 90_000 }).toBeGreaterThanOrEqual(8 * 4);

    const read: string[] = [];
    const documents: string[] = [];
    await page.route('**/api/documents?**', (route) => {
      documents.push(route.request().url());
      return route.continue();
    });
    await page.route('**/api/takes/*/columns', (route) => {
      read.push(new URL(route.request().url()).pathname.split('/')[3]!);
      return route.continue();
    });
    await page.reload();
    await compared();
    expect(await table()).toBe(before);
    await expect.poll(() => page.locator('.badge:not([aria-hidden])').count()).toBe(8);
    expect(read).toEqual([]);
    // Nor a document: the list names what was found.
    expect(documents).toEqual([]);

    const { takes } = await (await fetch(`${bench.server.address}/api/workspace`)).json();
    const { id } = takes.find(({ title }: { title: string }) => title === 'Parry drill');
    const take = await (await fetch(`${bench.server.address}/api/takes/${id}`)).json();
    const labels = { ...take.labels, presses: take.labels.presses.slice(1) };
    await fetch(`${bench.server.address}/api/takes/${id}`, {
      method: 'PATCH',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ revision: take.revision, labels }),
    });
    await page.reload();
    await compared();
    await expect.poll(() => read).toContain(id);
    // Columns of the take after it may have come along, fetched before it was known that they are not needed.
    expect(new Set(read).size).toBeLessThanOrEqual(2);
    expect(await table()).not.toBe(before);
    expect(bench.errors).toEqual([]);
  });
});

function countFound(): Promise<number> {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open('moulinet');
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
      const counting = opening.result.transaction('found').objectStore('found').count();
      counting.onsuccess = () => resolve(counting.result);
    };
  });
}
