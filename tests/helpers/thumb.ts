import type { Locator } from 'playwright-core';

/** A thumb that counts: a touch and a swipe are one each, letters typed are none. It sees no more than the screen shows. */
export class Thumb {
  touches = 0;
  async tap(what: Locator): Promise<void> {
    await this.#reach(what);
    this.touches++;
    await what.click();
  }

  async hold(what: Locator, millis: number): Promise<void> {
    await this.#reach(what);
    this.touches++;
    await what.click({ delay: millis });
  }

  /** What has to be scrolled to costs a swipe. */
  async #reach(what: Locator): Promise<void> {
    await what.waitFor();
    const seen = await what.evaluate((element) => {
      const { left, top, width, height } = element.getBoundingClientRect();
      const hit = document.elementFromPoint(left + width / 2, top + height / 2);
      return hit !== null && (element.contains(hit) || hit.contains(element));
    });
    if (!seen) this.touches++;
  }
}
