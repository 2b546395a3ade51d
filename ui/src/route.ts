import { signal } from '@preact/signals';

/** Which screen is up is said by the address's hash alone, so that the browser's back works and a link can name a screen. */
export const screens = ['tonight', 'bench', 'wire', 'papers', 'node'] as const;
export type Screen = (typeof screens)[number];

/** `#/bench/looks/dinner`: the screen, and where in it. */
function fromHash(): readonly [screen: Screen, within: readonly string[]] {
  const [name, ...within] = location.hash.replace(/^#\//, '').split('/').map(decoded);
  const found = screens.find((screen) => screen === name);
  return found === undefined ? ['tonight', []] : [found, within];
}

function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

const [first, firstWithin] = fromHash();
export const screen = signal<Screen>(first);
/** Where in the screen: a page of it, a thing on that page. */
export const within = signal<readonly string[]>(firstWithin);
/** What a screen shall look for when it is opened from another. */
export const lookFor = signal('');

/** The address of a place, for a link. */
export const addressOf = (name: Screen, ...parts: readonly string[]): string =>
  `#/${[name, ...parts.map(encodeURIComponent)].join('/')}`;

/** Opens a screen, to look for something there. */
export function goTo(name: Screen, what = ''): void {
  lookFor.value = what;
  location.hash = addressOf(name);
}

addEventListener('hashchange', () => {
  [screen.value, within.value] = fromHash();
});
