import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { PictureKeeper } from '../../node/api/picture-keeper.ts';
import type { Command } from '../../node/core/commands.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { pictureShow } from '../../node/playback/picture.ts';
import { freshState, reduce } from '../../node/playback/reduce.ts';
import type { LastPicture, LastShow } from '../../node/store/last-picture.ts';
import { FakeClock } from '../helpers/fake-clock.ts';
import { slotAt } from '../helpers/lightness.ts';
import { everybody, par, place, tinyShow } from '../helpers/tiny-show.ts';

const show = compileShow(
  tinyShow({
    fixtures: [par('lamp', 1), { ...place('hazer', 'hazer', '2ch', 100), use: 'haze' }],
    looks: [
      { id: 'base', fade: 0, unattended: true, parts: [{ who: everybody, level: 0.6, haze: 1 }] },
      { id: 'wild', fade: 0, parts: [{ who: everybody, strobe: 10 }] },
    ],
    hits: [{ id: 'flash', fade: 0, parts: [{ who: everybody, level: 1 }] }],
    start: [{ look: 'base' }],
  }),
);

/** What is written down, where the disk takes everything at once. */
class Evening {
  readonly clock = new FakeClock();
  readonly kept: LastPicture[] = [];
  readonly shows: LastShow[] = [];
  readonly control = { show, revision: 1, row: 1, state: freshState(show, this.clock.now()) };
  readonly keeper = new PictureKeeper({
    control: this.control,
    clock: this.clock,
    store: {
      ask: async (name: string, what: unknown) =>
        void (name === 'keepPicture' ? this.kept.push(what as LastPicture) : this.shows.push(what as LastShow)),
    } as never,
    outputs: () => [],
    startedWith: '',
  });

  do(command: Command): void {
    this.control.state = reduce(this.control.show, this.control.state, command, this.clock.now(), 1);
    this.keeper.changed();
  }

  later(millis: number): void {
    this.clock.advance(millis);
    vi.advanceTimersByTime(millis);
  }

  /** Slots of universe 1 in the newest picture. */
  slots(): Buffer {
    return Buffer.from(this.kept.at(-1)?.universes[0]?.slots ?? '', 'base64');
  }
}

let night: Evening;
beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setInterval', 'clearInterval', 'setTimeout', 'clearTimeout'] });
  night = new Evening();
  night.keeper.start();
});
afterEach(() => {
  night.keeper.stop();
  vi.useRealTimers();
});

/** Slots of the par: dimmer, red, green, blue, white, strobe. */
const DIMMER = 0;
const STROBE = 5;
const HAZE = 99;
const AT_60 = slotAt(0.6);

describe('the last picture', () => {
  it('is what plays, without haze, strobe and hits', () => {
    night.later(5000);
    expect([night.slots()[DIMMER], night.slots()[HAZE]]).toEqual([AT_60, 0]);
    night.do({ do: 'press', button: 'wild' });
    night.do({ do: 'press', button: 'flash' });
    night.later(5000);
    expect([night.slots()[DIMMER], night.slots()[STROBE], night.slots()[HAZE]]).toEqual([AT_60, 0, 0]);
  });

  it('stays lit in a blackout, which is written down at once', () => {
    night.later(5000);
    night.do({ do: 'blackout', on: true });
    expect(night.kept.at(-1)?.blackout).toBe(true);
    expect(night.slots()[DIMMER]).toBe(AT_60);
    night.do({ do: 'blackout', on: false });
    expect(night.kept.at(-1)?.blackout).toBe(false);
  });

  it('has what somebody asked for within a second, however many commands a second there are', () => {
    night.later(5000);
    for (let i = 0; i < 10; i++) {
      night.do({ do: 'master', level: 1 - i / 20, fade: 0 });
      night.later(50);
    }
    expect(night.kept).toHaveLength(1);
    night.later(500);
    expect(night.kept).toHaveLength(2);
    expect(night.kept.at(-1)?.witness?.state.all.to).toBe(0.55);
  });

  it('has the show beside it, once a revision', () => {
    night.later(20_000);
    night.control.revision = 2;
    night.later(20_000);
    expect(night.shows.map(({ revision, show: { id } }) => [revision, id])).toEqual([
      [1, 'tiny'],
      [2, 'tiny'],
    ]);
  });

  it('is not written again as long as it is the same', () => {
    night.later(60_000);
    expect(night.kept).toHaveLength(1);
  });

  it('of a show that is not in the store yet is not kept', () => {
    night.control.revision = 0;
    night.later(60_000);
    expect(night.kept).toEqual([]);
  });

  it('that is repeated because every show is lost stays as it is', () => {
    const slots = Uint8Array.from({ length: 512 }, (_, i) => i % 256);
    Object.assign(night.control, { show: pictureShow([{ universe: 3, slots }], 'The last picture'), revision: 0 });
    night.later(5000);
    night.do({ do: 'blackout', on: true });
    expect(night.kept.at(-1)).toMatchObject({
      blackout: true,
      universes: [{ universe: 3, slots: Buffer.from(slots).toString('base64') }],
    });
  });
});
