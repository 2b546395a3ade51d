import { signal } from '@preact/signals';

/** Which screen is up is said by the address's hash alone, so that the browser's back works and a link can name a screen. */
export const screens = ['tonight', 'bench', 'wire', 'papers', 'node'] as const;
export type Screen = (typeof screens)[number];

const fromHash = (): Screen => screens.find((screen) => location.hash === `#/${screen}`) ?? 'tonight';

export const screen = signal<Screen>(fromHash());
/** What a screen shall look for when it is opened from another. */
export const lookFor = signal('');

/** Opens a screen, to look for something there. */
export function goTo(name: Screen, what = ''): void {
  lookFor.value = what;
  location.hash = `#/${name}`;
}

addEventListener('hashchange', () => {
  screen.value = fromHash();
});
