import { createRequire } from 'node:module';
import type { AxeResults } from 'axe-core';
import type { Page } from 'playwright-core';

/** The library's own text: evaluated in the page, which lets no script in from elsewhere. */
const { source } = createRequire(import.meta.url)('axe-core') as { readonly source: string };

/** Off by default, and what a voice command rests on: the name of a control holds the words that are seen on it. */
const ALSO = { 'label-content-name-mismatch': { enabled: true } };

/** What axe finds against the page as it stands, in light and then in dark: rule, place, and why. */
export async function axeFaults(page: Page): Promise<string[]> {
  const faults: string[] = [];
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme });
    await page.waitForFunction(
      (is) => document.querySelector('main') !== null && matchMedia(is).matches,
      `(prefers-color-scheme: ${colorScheme})`,
    );
    // Colours that fade are looked at once they are there.
    await page.evaluate(() => Promise.all(document.getAnimations().map(({ finished }) => finished)));
    if (!(await page.evaluate(() => 'axe' in window))) await page.evaluate(source);
    const { violations } = await page.evaluate(
      (rules) =>
        (
          window as unknown as { axe: { run(context: Document, options: object): Promise<AxeResults> } }
        ).axe.run(document, { resultTypes: ['violations'], rules }),
      ALSO,
    );
    faults.push(
      ...violations.flatMap(({ id, nodes }) =>
        nodes.map((node) => `${colorScheme}: ${id} at ${node.target.join(' ')}: ${node.failureSummary}`),
      ),
    );
  }
  return faults;
}
