import { afterEach, describe, expect, it, vi } from 'vitest';
import { recall, remember } from '../../ui/src/remembered.ts';
import { readSettings } from '../../ui/src/settings.ts';

afterEach(() => void vi.unstubAllGlobals());

describe('what a phone keeps for itself', () => {
  it('is taken as it was written', () => {
    const settings = { hand: 'left', dimmer: true, awake: false };
    expect(readSettings(JSON.stringify(settings))).toEqual(settings);
  });

  it.each([undefined, '', 'null', '7', '{', '[]', '{"hand":7,"dimmer":"yes","awake":null}'])('%j gives the defaults', (text) => {
    expect(readSettings(text)).toEqual({ hand: 'right', dimmer: false, awake: true });
  });

  it('is forgotten, and nothing worse, where storage is switched off', () => {
    const refuse = () => {
      throw new Error('denied');
    };
    vi.stubGlobal('localStorage', { getItem: refuse, setItem: refuse });
    remember('settings', '{}');
    expect(recall('settings')).toBeUndefined();
    // Not there at all.
    vi.stubGlobal('localStorage', undefined);
    remember('settings', '{}');
    expect(recall('settings')).toBeUndefined();
  });
});
