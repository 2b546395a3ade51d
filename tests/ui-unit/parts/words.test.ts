import { describe, expect, it, test } from 'vitest';
import type { ButtonSummary, Playing, State } from '../../../node/api/contract.ts';
import {
  ago,
  awayInWords,
  fallenInWords,
  playingInWords,
  timeOfDay,
  warningInWords,
  watchInWords,
} from '../../../ui/src/parts/words.ts';

const entry = (name: string, state: Playing['state'], more: Partial<Playing> = {}): Playing => ({
  item: `look:${name}`,
  name,
  button: null,
  unattended: false,
  state,
  weight: 1,
  isUnderneath: false,
  startedAt: 0,
  ...more,
});
const watch = (phase: State['watch']['phase'], more: Partial<State['watch']> = {}): State['watch'] => ({
  phase,
  fallback: 'blackout',
  canResume: false,
  ...more,
});
const buttons: ButtonSummary[] = [{ id: 'warm', name: 'Warm walls', line: '', kind: 'press', frames: [], notes: [], uses: [] }];

test.each([
  [-5000, 'just now'],
  [0, 'just now'],
  [30_000, '30 seconds ago'],
  [600_000, '10 minutes ago'],
  [2 * 3_600_000, '2 hours ago'],
  [72 * 3_600_000, '3 days ago'],
])('%i ms is %s', (millis, words) => {
  expect(ago(millis)).toBe(words);
});

describe('what is on', () => {
  it('is named by its button, newest first, once each, without what goes or what the fallback took away', () => {
    const playing = [
      entry('Walls', 'on', { button: 'warm' }),
      entry('Floor', 'coming'),
      entry('Old', 'going'),
      entry('Away', 'away'),
      entry('Ceiling', 'on', { button: 'warm' }),
    ];
    expect(playingInWords({ playing }, buttons)).toEqual(['Warm walls', 'Floor']);
  });

  it('after the fallback is what it left or brought, since when it did', () => {
    const wall = new Date(2026, 5, 1, 21, 4).getTime();
    const date = (instant: number) => wall + instant - 7000;
    const watch = { phase: 'fallen', fallback: 'blackout', canResume: true } as const;
    const fell = { ...watch, at: 7000 };
    expect(fallenInWords({ playing: [entry('Dance', 'away')], watch: fell }, buttons, date)).toBe(
      `Guests see no show light since ${timeOfDay(wall)}.`,
    );
    const left = [entry('Haze glow', 'on', { unattended: true }), entry('Dance', 'away'), entry('Rest', 'on', { startedAt: 7000 })];
    expect(fallenInWords({ playing: left, watch }, buttons, date)).toBe('Guests see only “Rest” and “Haze glow”.');
    expect(fallenInWords({ playing: left, watch: fell }, buttons, date)).toBe(
      `Guests see only “Rest” and “Haze glow” since ${timeOfDay(wall)}.`,
    );
    // What is pressed afterwards was not seen since then.
    const pressed = [...left, entry('Dinner', 'on', { startedAt: 9000 })];
    expect(fallenInWords({ playing: pressed, watch: fell }, buttons, date)).not.toContain('since');
  });

  it('what a resume would bring back is named too, as far as there is room', () => {
    const away = (...names: string[]) => awayInWords({ playing: names.map((name) => entry(name, 'away')) }, buttons);
    expect(away('Dance', 'Beams')).toBe('“Beams” and “Dance”');
    expect(away('A', 'B', 'C', 'D', 'E')).toBe('“E”, “D”, “C” and 2 more');
    expect(awayInWords({ playing: [entry('Walls', 'away', { button: 'warm' }), entry('Rest', 'on')] }, buttons)).toBe(
      '“Warm walls”',
    );
    // Nothing was taken away, but something was stilled.
    expect(awayInWords({ playing: [entry('Rest', 'on')] }, buttons)).toBe('what was on');
  });

  it('says what becomes of it with no phone', () => {
    expect(watchInWords({ watch: watch('kept'), playing: [entry('Dance', 'on')] }, buttons)).toBe(
      'If every phone drops: blackout.',
    );
    const alone = [entry('Dance', 'on'), entry('Walls', 'on', { unattended: true })];
    expect(watchInWords({ watch: watch('kept'), playing: alone }, buttons)).toBe('If every phone drops: “Walls” stays.');
    const covered = [entry('Walls', 'on', { unattended: true, isUnderneath: true }), entry('Dance', 'on')];
    expect(watchInWords({ watch: watch('kept'), playing: covered }, buttons)).toBe(
      'If every phone drops: only what lies underneath stays.',
    );
    expect(watchInWords({ watch: watch('free'), playing: alone }, buttons)).toBe('What is on needs no phone.');
  });
});

describe('the countdown to the fallback', () => {
  // The node's clock counts from anywhere: here from the start of the machine, one day ago.
  const at = 86_400_000;
  const warned = { watch: watch('warned', { at }), playing: [entry('Dance', 'on')] };

  it('counts the seconds that are left', () => {
    expect(warningInWords(warned, at - 4200)).toEqual({
      isDue: false,
      happened: 'No phone has been heard of. Blackout in 5 s.',
      guestsSee: 'Until then the lights go on as they are.',
    });
  });

  it.each([0, 1, 60_000, 1e9])('never counts below zero: %i ms later it says what is due, and asks', (late) => {
    const { isDue, happened, guestsSee } = warningInWords(warned, at + late);
    expect(isDue).toBe(true);
    expect(happened).toBe('No phone has been heard of. Blackout now.');
    expect(guestsSee).not.toContain('Until then');
  });

  it('says what comes: a look, or what becomes of what may run alone', () => {
    expect(warningInWords({ ...warned, watch: watch('warned', { at, fallback: 'Dinner' }) }, at).happened).toContain(
      '“Dinner” comes now',
    );
    const alone = [...warned.playing, entry('Walls', 'on', { unattended: true })];
    expect(warningInWords({ ...warned, playing: alone }, at - 1000).happened).toContain('All that needs somebody goes out in 1 s');
  });

  it('without an instant is due', () => {
    expect(warningInWords({ ...warned, watch: watch('warned') }, 5).isDue).toBe(true);
  });
});
