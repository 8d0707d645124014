import type { Page } from 'playwright-core';

export interface InSight {
  readonly words: number;
  readonly controls: number;
}

/**
 * What the eye meets without scrolling: words that are written in the window (numbers with their units count as they are
 * spaced), and controls that can be worked. What lies outside the box that scrolls it, behind a fold, or is there for
 * screen readers alone does not count.
 */
export function inSight(page: Page): Promise<InSight> {
  return page.evaluate(() => {
    const inWindow = { left: 0, top: 0, right: innerWidth, bottom: innerHeight };
    const clips = new Map<Element, typeof inWindow>();
    const overlap = (a: typeof inWindow, b: typeof inWindow) => ({
      left: Math.max(a.left, b.left),
      top: Math.max(a.top, b.top),
      right: Math.min(a.right, b.right),
      bottom: Math.min(a.bottom, b.bottom),
    });
    /** The part of the window in which what lies in this element can be seen. */
    const clipOf = (element: Element | null): typeof inWindow => {
      if (element === null) return inWindow;
      const known = clips.get(element);
      if (known) return known;
      const around = element.matches('dialog') ? inWindow : clipOf(element.parentElement);
      const isClipping = getComputedStyle(element).overflow !== 'visible' && !element.matches('svg *');
      const clip = isClipping ? overlap(around, element.getBoundingClientRect()) : around;
      clips.set(element, clip);
      return clip;
    };
    const isSeen = (element: Element, rects: Iterable<DOMRect>): boolean => {
      if (!element.checkVisibility({ visibilityProperty: true, opacityProperty: true })) return false;
      const clip = clipOf(element);
      return [...rects].some((rect) => {
        const { left, top, right, bottom } = overlap(clip, rect);
        return right - left > 1 && bottom - top > 1;
      });
    };
    let words = 0;
    const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = texts.nextNode(); node !== null; node = texts.nextNode()) {
      const element = node.parentElement!;
      const found = [...node.textContent!.matchAll(/\S+/g)].filter(([word]) => /[\p{L}\p{N}]/u.test(word));
      if (found.length === 0 || element.closest('.unseen, option, script, style')) continue;
      for (const match of found) {
        const range = document.createRange();
        range.setStart(node, match.index);
        range.setEnd(node, match.index + match[0].length);
        if (isSeen(element, range.getClientRects())) ++words;
      }
    }
    const all = document.querySelectorAll(
      'button, a[href], input, select, textarea, summary, [role="slider"], [tabindex="0"]',
    );
    const controls = [...all].filter((one) => isSeen(one, [one.getBoundingClientRect()])).length;
    return { words, controls };
  });
}
