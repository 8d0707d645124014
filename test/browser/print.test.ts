import { expect, test } from 'vitest';
import { describeInBrowser, openTake } from './harness.ts';

describeInBrowser('a view on paper', { withDemo: true }, (bench) => {
  test('is light whatever the screen is, without what only a screen has use for, and nothing leaves its card', async () => {
    const page = await openTake(bench, 'Wall-plane');
    for (const stave of ['thrust', 'twist', 'impact']) await page.locator(`[data-stave="${stave}"]`).click();
    await page.emulateMedia({ colorScheme: 'dark' });
    await page.locator('.stave canvas').first().waitFor();
    // What the browser does before it prints; `pdf` ends it again by itself.
    await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
    await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
    const found = await page.evaluate(() => {
      const rect = (element: Element) => element.getBoundingClientRect();
      const staves = [...document.querySelectorAll('.stave')];
      const dark = (element: Element) => getComputedStyle(element).color;
      return {
        theme: document.documentElement.dataset['theme'],
        text: dark(document.querySelector('main h2')!),
        sides: [...document.querySelectorAll('.top, .side')].filter((side) => rect(side).width > 0).length,
        staves: staves.length,
        beyond: staves.filter((stave) => {
          const [card, plot] = [rect(stave), rect(stave.querySelector('canvas')!)];
          return plot.right > card.right + 1 || plot.bottom > card.bottom + 1;
        }).length,
        width: rect(document.querySelector('main')!).width,
        // The speed's trace is painted anew, in the ink of paper.
        hasInk: (() => {
          const canvas = document.querySelector<HTMLCanvasElement>('.stave-speed canvas')!;
          const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
          for (let i = 0; i < data.length; i += 4)
            if (data[i] === 29 && data[i + 1] === 39 && data[i + 2] === 51) return true;
          return false;
        })(),
      };
    });
    expect(found).toMatchObject({
      theme: 'light',
      text: 'rgb(29, 39, 51)',
      sides: 0,
      beyond: 0,
      hasInk: true,
    });
    expect(found.staves).toBeGreaterThan(3);
    expect(found.width).toBeLessThan(980);
    await page.evaluate(() => dispatchEvent(new Event('afterprint')));
    await page.emulateMedia({ media: null, colorScheme: 'dark' });

    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
    expect(pdf.match(/\/Type\s*\/Page\b/g)).toHaveLength(1);
    await expect.poll(() => page.evaluate(() => document.documentElement.dataset['theme'])).toBeUndefined();
    expect(bench.errors).toEqual([]);
  });
});
