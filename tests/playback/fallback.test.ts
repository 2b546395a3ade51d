import { describe, expect, it } from 'vitest';
import { canResume } from '../../node/playback/fallback.ts';
import type { Show } from '../../node/show/document.ts';
import { slotAt } from '../helpers/lightness.ts';
import { hazePermitted, Offline, press, type Script } from '../helpers/offline.ts';
import { dimmer, everybody, head, only, par, place, type TinyShow, tinyShow } from '../helpers/tiny-show.ts';

/** design.md: "fallback: what the node does when the last remote of an attended show drops: blackout unless the show says otherwise". */
const document: TinyShow = {
  fixtures: [dimmer('festoon', 1), par('par', 10), head('head', 20), place('hazer', 'hazer', '2ch', 40)],
  looks: [
    { id: 'dinner', fade: 0, unattended: true, parts: [{ who: only('festoon'), level: 0.2 }] },
    { id: 'dance', fade: 0, parts: [{ who: everybody, level: 1, aim: { pan: 30, tilt: 10 }, strobe: 5, haze: 1 }] },
    { id: 'way-out', fade: 0, parts: [{ who: only('par'), level: 0.4, colour: '#ffffff' }] },
  ],
  chases: [
    {
      id: 'breathes',
      fade: 0,
      unattended: true,
      steps: [0.2, 0.6].map((level) => ({ length: { seconds: 10 }, parts: [{ who: only('festoon'), level }] })),
    },
  ],
  movements: [
    { id: 'circle', fade: 0, who: only('head'), figure: 'circle', size: { pan: 20, tilt: 20 }, period: { beats: 16 } },
    {
      id: 'alone',
      fade: 0,
      unattended: true,
      who: only('head'),
      figure: 'circle',
      aim: { pan: 0, tilt: 0 },
      size: { pan: 20, tilt: 20 },
      period: { seconds: 8 },
    },
  ],
};
const plain = tinyShow(document);
const withLook = tinyShow({ ...document, fallback: { look: 'way-out' } });

const falls: Script = [[60_000, { do: 'fall-back' }]];
const play = (show: Show, ...script: Script): Offline => new Offline(show, script);
const dancing: Script = [
  [0, press('dinner')],
  [1000, press('dance')],
  [2000, press('circle')],
];
const where = (night: Offline, at: number) => [night.value('head', 'Pan', at), night.value('head', 'Tilt', at)];
/** Lights, in slots: festoon, par, head (coarse). */
const lights = (night: Offline, at: number) => [1, 10, 24].map((slot) => night.slot(slot, at));

describe('the fallback', () => {
  it('takes what is attended out within a second, and leaves what may be alone', () => {
    const night = play(plain, ...dancing, ...falls);
    expect(lights(night, 60_000)).toEqual([255, 255, 255]);
    // Half way: the festoon from 1 to 0.2, the rest to nothing.
    expect(night.value('festoon', 'Dimmer', 60_500)).toBeCloseTo(0.6, 12);
    expect(night.value('par', 'Dimmer', 60_500)).toBeCloseTo(0.5, 12);
    for (const at of [61_000, 3_600_000]) expect(lights(night, at)).toEqual([slotAt(0.2), 0, 0]);
  });

  it('is the look that the show names, where it names one, over what may be alone', () => {
    const night = play(withLook, ...dancing, ...falls);
    // The par's white stands beside its dimmer.
    expect([...lights(night, 61_000), night.slot(14, 61_000)]).toEqual([slotAt(0.2), slotAt(0.4), 0, 255]);
  });

  it('stops haze and strobes at once, whoever asked for them', () => {
    const night = play(plain, [0, hazePermitted], ...dancing, ...falls);
    expect([night.slot(40, 59_999), night.slot(15, 59_999) > 0]).toEqual([255, true]);
    expect([night.slot(40, 60_000), night.slot(15, 60_000)]).toEqual([0, 0]);
  });

  it('brings the heads to rest where they are when it has come, without a jump', () => {
    const night = play(plain, ...dancing, ...falls);
    const moving = play(plain, ...dancing);
    for (const at of [60_000, 60_500, 61_000])
      for (const [i, angle] of where(night, at).entries()) expect(angle).toBeCloseTo(where(moving, at)[i] ?? Number.NaN, 9);
    for (const at of [61_025, 70_000, 3_600_000]) expect(where(night, at)).toEqual(where(night, 61_000));
  });

  it('stops figures even where they may be alone, while chases that may go on', () => {
    const night = play(plain, [0, press('breathes')], [0, press('alone')], ...falls);
    expect(where(night, 65_000)).toEqual(where(night, 61_000));
    expect([62_000, 72_000].map((at) => night.value('festoon', 'Dimmer', at))).toEqual([0.2, 0.6]);
  });

  it('does not let a tempo that is tapped later move what stands', () => {
    const night = play(plain, ...dancing, ...falls, [70_000, { do: 'tempo', bpm: 77 }]);
    expect(where(night, 71_000)).toEqual(where(night, 61_000));
  });

  it('stays until somebody resumes; then all comes back as if it had played on', () => {
    const night = play(plain, ...dancing, ...falls, [90_000, { do: 'resume' }]);
    const moving = play(plain, ...dancing);
    expect(lights(night, 90_000)).toEqual([slotAt(0.2), 0, 0]);
    expect(where(night, 90_000)).toEqual(where(night, 61_000));
    expect(night.value('par', 'Dimmer', 91_000)).toBeCloseTo(0.5, 12);
    expect(night.slots(92_000)).toEqual(moving.slots(92_000));
  });

  it('comes again when nobody is there again', () => {
    const night = play(plain, ...dancing, ...falls, [90_000, { do: 'resume' }], [200_000, { do: 'fall-back' }]);
    expect(lights(night, 199_999)).toEqual([255, 255, 255]);
    expect(lights(night, 201_000)).toEqual([slotAt(0.2), 0, 0]);
  });

  it('that has come already changes nothing when it comes again', () => {
    const night = play(plain, ...dancing, ...falls, [60_500, { do: 'fall-back' }]);
    expect({ ...night.state(60_500), number: 4 }).toEqual(play(plain, ...dancing, ...falls).state(60_500));
  });

  it('lets what is pressed afterwards play, with all that belongs to it, and leaves the rest away', () => {
    const night = play(plain, ...dancing, ...falls, [70_000, press('way-out')]);
    expect(lights(night, 69_999)).toEqual([slotAt(0.2), 0, 0]);
    expect(lights(night, 70_000)).toEqual([slotAt(0.2), slotAt(0.4), 0]);
    // A press of the very look that was taken away plays it: haze and strobe are somebody's again.
    const again = play(plain, [0, hazePermitted], ...dancing, ...falls, [70_000, press('dance')]);
    expect([...lights(again, 70_000), again.slot(40, 70_000)]).toEqual([255, 255, 255, 255]);
  });

  it('still knows, after such a press, what a resume brings back', () => {
    const night = play(plain, ...dancing, ...falls, [70_000, press('way-out')], [80_000, { do: 'resume' }]);
    expect(lights(night, 83_000)).toEqual([255, slotAt(0.4), 255]);
  });

  it('comes again over what was pressed since, and one resume brings back all', () => {
    const night = play(plain, ...dancing, ...falls, [70_000, press('way-out')], [200_000, { do: 'fall-back' }]);
    expect(lights(night, 201_000)).toEqual([slotAt(0.2), 0, 0]);
    const back = play(
      plain,
      ...dancing,
      ...falls,
      [70_000, press('way-out')],
      [200_000, { do: 'fall-back' }],
      [300_000, { do: 'resume' }],
    );
    expect(lights(back, 303_000)).toEqual([255, slotAt(0.4), 255]);
  });

  it('takes its own look away again with a resume, and nothing that it lay over is lost', () => {
    const night = play(withLook, ...dancing, ...falls, [90_000, { do: 'resume' }]);
    expect(lights(night, 92_000)).toEqual([255, 255, 255]);
    expect(night.stack(100_000)).toEqual(['look:dinner', 'look:dance', 'movement:circle', 'look:way-out']);
    expect(night.state(100_000).entries.filter(({ release }) => release === undefined)).toHaveLength(3);
  });

  it('lets figures that may run alone go on from where they stood', () => {
    const night = play(plain, [0, press('alone')], ...falls, [90_000, { do: 'resume' }]);
    expect(where(night, 90_000)).toEqual(where(night, 61_000));
    const later = where(night, 91_000);
    const was = where(play(plain, [0, press('alone')]), 62_000);
    for (const [i, value] of later.entries()) expect(value).toBeCloseTo(was[i] ?? Number.NaN, 9);
  });

  it('keeps for the resume what a new scene would have let go: it is not there to be let go', () => {
    const scene = tinyShow({ ...document, buttons: [{ id: 'scene', starts: [{ look: 'way-out' }], alone: true }] });
    const night = play(scene, ...dancing, ...falls, [70_000, press('scene')], [80_000, { do: 'resume' }]);
    expect(lights(night, 79_000)).toEqual([slotAt(0.2), slotAt(0.4), 0]);
    expect(lights(night, 83_000)).toEqual([255, slotAt(0.4), 255]);
  });

  describe('under what has been pressed since and covers all of it', () => {
    const shows = [true, false].map((alone) =>
      tinyShow({
        ...document,
        looks: [
          ...(document.looks ?? []),
          { id: 'calm', fade: 6, unattended: true, parts: [{ who: everybody, level: 0.3, strobe: 0, colour: '#ff0000' }] },
          {
            id: 'still',
            fade: 0,
            parts: [{ who: everybody, level: 0.3, colour: '#00ff00', aim: { pan: 0, tilt: 0 }, strobe: 0, haze: 0 }],
          },
        ],
        buttons: [
          { id: 'open-floor', starts: [{ look: 'dance' }, { movement: 'circle' }], alone: true },
          { id: 'calm-scene', starts: [{ look: 'calm' }], alone },
          { id: 'still-scene', starts: [{ look: 'still' }], alone },
        ],
      }),
    );
    const since: Script = [[0, press('dinner')], [1000, press('open-floor')], ...falls];
    const levels = (night: Offline, at: number) => ['festoon', 'par', 'head'].map((lamp) => night.value(lamp, 'Dimmer', at));
    const dancesIn = (night: Offline, at: number) => expect(levels(night, at)).toEqual([1, 1, 1]);

    for (const [i, show] of shows.entries()) {
      const what = i === 0 ? 'a scene' : 'a look';
      it(`comes back over ${what} that is still fading in, and stays`, () => {
        const night = play(show, ...since, [70_000, press('calm-scene')], [72_000, { do: 'resume' }], [90_000, press('way-out')]);
        for (const at of [74_000, 76_001, 89_999]) dancesIn(night, at);
        // Any command takes out what is covered for good.
        expect(levels(night, 90_000)).toEqual([1, 0.4, 1]);
      });

      it(`comes back over ${what} that has long come`, () => {
        const night = play(
          show,
          ...since,
          [70_000, press('calm-scene')],
          [200_000, press('still-scene')],
          [300_000, { do: 'resume' }],
        );
        expect(canResume(night.state(299_999))).toBe(true);
        expect(levels(night, 299_999)).toEqual([0.3, 0.3, 0.3]);
        dancesIn(night, 302_000);
        expect(where(night, 302_000)).toEqual(where(play(show, ...since.slice(0, 2)), 302_000));
        expect(canResume(night.state(302_000))).toBe(false);
      });
    }

    it('is kept through a second fallback, and what was pressed between comes back as it lay', () => {
      const night = play(
        shows[0] as Show,
        ...since,
        [70_000, press('calm-scene')],
        [200_000, { do: 'fall-back' }],
        [300_000, { do: 'resume' }],
      );
      dancesIn(night, 302_000);
    });

    it('is not promised any more once it has been pressed again itself', () => {
      const night = play(shows[0] as Show, ...since, [70_000, press('open-floor')], [80_000, press('dinner')]);
      expect(canResume(night.state(80_000))).toBe(false);
      expect(night.stack(80_000).filter((item) => item === 'look:dance')).toHaveLength(1);
    });
  });
});
