import { effect, signal } from '@preact/signals';

/** What this phone keeps for itself: nothing that the node needs to know. */
export interface Settings {
  /** Which thumb: the blackout corner and the state marks lie on its side. */
  readonly hand: 'right' | 'left';
  /** Darker still, for a very dark room. */
  readonly dimmer: boolean;
  /** Keep the screen on while Tonight is up. */
  readonly awake: boolean;
}

const KEY = 'duskhand-settings';
const defaults: Settings = { hand: 'right', dimmer: false, awake: true };

/** Storage may be switched off or hold what an older version wrote: then the defaults stand. */
function stored(): Settings {
  try {
    const found = JSON.parse(localStorage.getItem(KEY) ?? '{}') as Partial<Settings>;
    return {
      hand: found.hand === 'left' ? 'left' : 'right',
      dimmer: found.dimmer === true,
      awake: found.awake !== false,
    };
  } catch {
    return defaults;
  }
}

export const settings = signal<Settings>(defaults);

export function change(part: Partial<Settings>): void {
  settings.value = { ...settings.value, ...part };
  try {
    localStorage.setItem(KEY, JSON.stringify(settings.value));
  } catch {
    // Kept until the page goes: better than nothing.
  }
}

/** Puts what is set onto the document, where the style sheets read it. */
export function takeUpSettings(): void {
  settings.value = stored();
  effect(() => {
    document.documentElement.dataset.hand = settings.value.hand;
    document.documentElement.dataset.dimmer = String(settings.value.dimmer);
  });
}
