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
    const clamped = '.what > summary, .beside > p, .show-button > .line, .spoken, .more, .pages, canvas';
    const cut = [...document.querySelectorAll<HTMLElement>('main *, .bar *')]
      .filter((one) => one.checkVisibility() && !one.matches(clamped) && !one.closest('.spoken'))
      .filter((one) => getComputedStyle(one).overflowX === 'hidden' || one.matches('button, .name, strong, h1, h2'))
      .filter((one) => one.clientWidth > 0 && one.scrollWidth > one.clientWidth + 1)
      .map((one) => `cut: ${named(one)} ${one.scrollWidth} of ${one.clientWidth}`);
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
    return [...off, ...cut, ...under];
  });
