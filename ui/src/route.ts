import { signal } from '@preact/signals';

/** Which screen is up is said by the address's hash alone, so that the browser's back works and a link can name a screen. */
export const screens = ['tonight', 'wire', 'papers', 'node'] as const;
export type Screen = (typeof screens)[number];

const fromHash = (): Screen => screens.find((screen) => location.hash === `#/${screen}`) ?? 'tonight';

export const screen = signal<Screen>(fromHash());
addEventListener('hashchange', () => {
  screen.value = fromHash();
});
