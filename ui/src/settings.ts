import { effect, signal } from '@preact/signals';
import { recall, remember } from './remembered.ts';

/** What this phone keeps for itself: nothing that the node needs to know. */
export interface Settings {
  /** Which thumb: the blackout corner and the state marks lie on its side. */
  readonly hand: 'right' | 'left';
  /** Darker still, for a very dark room. */
  readonly dimmer: boolean;
  /** Keep the screen on while Tonight is up. */
  readonly awake: boolean;
}

const defaults: Settings = { hand: 'right', dimmer: false, awake: true };

/** What an older version or a stranger wrote is taken as far as it is understood. */
export function readSettings(text: string | undefined): Settings {
  try {
    const found = JSON.parse(text ?? '{}') as Partial<Settings>;
    return { hand: found.hand === 'left' ? 'left' : 'right', dimmer: found.dimmer === true, awake: found.awake !== false };
  } catch {
    return defaults;
  }
}

export const settings = signal<Settings>(defaults);

export function change(part: Partial<Settings>): void {
  settings.value = { ...settings.value, ...part };
  remember('settings', JSON.stringify(settings.value));
}

/** Puts what is set onto the document, where the style sheets read it. */
export function takeUpSettings(): void {
  settings.value = readSettings(recall('settings'));
  effect(() => {
    document.documentElement.dataset.hand = settings.value.hand;
    document.documentElement.dataset.dimmer = String(settings.value.dimmer);
  });
}
