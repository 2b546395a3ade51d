import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

/** axe-core: the rules of WCAG 2 as Deque publishes them, contrast among them. */
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

interface Finding {
  readonly id: string;
  readonly nodes: readonly { readonly target: readonly string[] }[];
}

/** What axe finds wrong with a page. */
export async function findings(page: Page): Promise<string[]> {
  if (!(await page.evaluate(() => 'axe' in globalThis))) await page.addScriptTag({ content: axe }).catch(() => page.evaluate(axe));
  const { violations } = (await page.evaluate('axe.run()')) as { violations: Finding[] };
  return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ target }) => target.join(' ')).join(', ')}`);
}

/** Everything that can be touched and is smaller than 48 px either way (a thumb's width, our own rule; WCAG 2.2, 2.5.8, asks for 24). */
export const tooSmall = (page: Page): Promise<string[]> =>
  page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('button, a[href], input, select, summary, [role="slider"]')]
      // What is touched of a box or a ring to tick is its whole label.
      .map((one) => (one.matches('[type="radio"], [type="checkbox"]') ? (one.closest('label') ?? one) : one))
      // The line of what is seen is touched to read the rest of it: as wide as the screen, and low where there is little height.
      .filter((one) => !one.matches('.what > summary'))
      .filter((one) => one.checkVisibility() && (one.offsetWidth < 48 || one.offsetHeight < 48))
      .map((one) => `${one.tagName} "${(one.textContent ?? '').trim().slice(0, 30)}" ${one.offsetWidth}×${one.offsetHeight}`),
  );

/** What runs off the screen's side, what lies over what can be touched, and words that are cut and have no rest at hand. */
export const misplaced = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const named = (one: Element): string => `${one.tagName}.${one.className} "${(one.textContent ?? '').trim().slice(0, 30)}"`;
    const wide = document.documentElement.scrollWidth;
    const off = wide > innerWidth ? [`the page is ${wide} px wide`] : [];
    // Cut on purpose, with the whole of it a touch away.
    const clamped =
      '.what > summary, .what > summary > span, .print > summary > span, .take-back > span, .moment-bar strong, .bench-steps span, .pages, .button-picture, canvas';
    /** For those who listen: no eye misses what is cut of it. */
    const isSpokenOnly = (one: Element): boolean => {
      for (let each: Element | null = one; each !== null; each = each.parentElement)
        if (getComputedStyle(each).clipPath === 'inset(50%)') return true;
      return false;
    };
    const cut = [...document.querySelectorAll<HTMLElement>('main *, .bar *')]
      .filter((one) => one.checkVisibility() && !one.matches(clamped) && !isSpokenOnly(one))
      .filter((one) => getComputedStyle(one).overflowX === 'hidden' || one.matches('button, .name, strong, h1, h2'))
      .filter((one) => one.clientWidth > 0 && one.scrollWidth > one.clientWidth + 1)
      .map((one) => `cut: ${named(one)} ${one.scrollWidth} of ${one.clientWidth}`);
    // What does not scroll and is lower than its words; letters reach a little out of their lines.
    const low = [...document.querySelectorAll<HTMLElement>('main *, .bar *')]
      .filter((one) => one.checkVisibility() && !one.matches(clamped) && !isSpokenOnly(one) && one.clientHeight > 0)
      .filter((one) => getComputedStyle(one).overflowY === 'hidden' || one.matches('.under, .under > *, button'))
      .filter((one) => one.scrollHeight > one.clientHeight + 6)
      .map((one) => `low: ${named(one)} ${one.scrollHeight} of ${one.clientHeight}`);
    const under = [...document.querySelectorAll<HTMLElement>('button, a[href], summary')].flatMap((one) => {
      if (!one.checkVisibility() || one.closest('[inert]')) return [];
      const { left, top, width, height } = one.getBoundingClientRect();
      const [x, y] = [left + width / 2, top + height / 2];
      // What has to be scrolled to lies nowhere yet.
      let clip = one.parentElement;
      for (; clip !== null; clip = clip.parentElement) {
        const box = clip.getBoundingClientRect();
        if (getComputedStyle(clip).overflowY !== 'visible' && (x < box.left || x > box.right || y < box.top || y > box.bottom))
          return [];
      }
      if (x < 0 || y < 0 || x > innerWidth || y > innerHeight) return [];
      const hit = document.elementFromPoint(x, y);
      // A notice may lie over the picture, and what was picked over the list that it was picked from.
      return hit === null ||
        one.contains(hit) ||
        hit.contains(one) ||
        hit.closest('.notices, .what, details, .wire-dock, .wire-walk') !== null
        ? []
        : [`under ${named(hit)}: ${named(one)}`];
    });
    return [...off, ...cut, ...low, ...broken(), ...under];

    /** Words that a line ends in the middle of, without a hyphen, though the screen is wide enough for them. */
    function broken(): string[] {
      const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
      const found: string[] = [];
      while (texts.nextNode()) {
        const node = texts.currentNode as Text;
        const element = node.parentElement;
        if (element === null || !element.checkVisibility() || isSpokenOnly(element) || element.closest('svg, script, style'))
          continue;
        for (const { 0: word, index } of node.data.matchAll(/[\p{L}\p{N}]+/gu)) {
          const range = document.createRange();
          range.setStart(node, index);
          range.setEnd(node, index + word.length);
          const lines = new Set([...range.getClientRects()].map(({ top }) => Math.round(top)));
          if (lines.size > 1) found.push(`broken: "${word}" in ${named(element)}`);
        }
      }
      return found;
    }
  });

/**
 * Watches from now on whether anything that can be touched moves. By the Layout Instability API of the W3C's Web Incubator Community
 * Group, as Chromium has it: it counts from 3 px on, and not what is scrolled. @returns what has moved so far, when it is asked
 */
export async function watchShifts(page: Page): Promise<() => Promise<string[]>> {
  await page.evaluate(() => {
    interface Shift extends PerformanceEntry {
      readonly sources: readonly { readonly node: Node | null; readonly previousRect: DOMRect; readonly currentRect: DOMRect }[];
    }
    const moved: string[] = [];
    const note = (entries: PerformanceEntryList) => {
      for (const { sources } of entries as Shift[])
        for (const { node, previousRect, currentRect } of sources) {
          const element = node instanceof Element ? node : node?.parentElement;
          // What comes or goes is no movement; and notices have a place of their own, in which they may move each other.
          if (!element || previousRect.width === 0 || currentRect.width === 0 || element.closest('.notices') !== null) continue;
          const touched =
            element.matches('button, a, input, summary') || element.querySelector('button, a, input, summary') !== null;
          if (touched)
            moved.push(
              `${element.tagName}.${element.className}: ${previousRect.x},${previousRect.y} to ${currentRect.x},${currentRect.y}`,
            );
        }
    };
    const observer = new PerformanceObserver((list) => note(list.getEntries()));
    observer.observe({ type: 'layout-shift' });
    Object.assign(globalThis, {
      shiftsSoFar: () => {
        note(observer.takeRecords());
        return moved;
      },
    });
  });
  return () => page.evaluate('shiftsSoFar()') as Promise<string[]>;
}
