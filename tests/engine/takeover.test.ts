import { describe, expect, test } from 'vitest';
import { Bell } from '../../node/core/bell.ts';
import { Heartbeat } from '../../node/core/heartbeat.ts';
import type { Levels } from '../../node/core/levels.ts';
import { Published } from '../../node/core/published.ts';
import type { Millis } from '../../node/core/units.ts';
import { Loop } from '../../node/engine/loop.ts';
import type { FromEngine, ToEngine } from '../../node/engine/messages.ts';
import { partsOf } from '../../node/engine/takeover.ts';
import { type CompiledShow, compileShow } from '../../node/playback/compile.ts';
import { freshState } from '../../node/playback/reduce.ts';
import type { Show } from '../../node/show/document.ts';
import { levelOf } from '../helpers/lightness.ts';
import { silentOutput } from '../helpers/silent-output.ts';
import { dimmer, everybody, only, tinyShow } from '../helpers/tiny-show.ts';

const FRAME: Millis = 25;
/** What the loop gives to a coming show at a time, and a step that has begun before. */
const SLICE: Millis = 6;
/** How much time goes by whenever the loop looks at the clock: its work costs some. */
const A_LOOK: Millis = 0.2;

/** The loop on a clock that goes on while it works and while it sleeps, and not while the test thinks. */
function engine(first: Show) {
  let time: Millis = 1_000_000;
  class QuickBell extends Bell {
    override sleep(_: number, millis: Millis): void {
      time += millis;
    }
  }
  let playing: CompiledShow = compileShow(first);
  const memoryOf = (show: CompiledShow) => new Published(show.rig.universes, show.rig.rest.length).memory;
  const posted: FromEngine[] = [];
  const waiting: ToEngine[] = [];
  const flushed: { readonly at: Millis; readonly levels: Levels; readonly slot: number | undefined }[] = [];
  const loop = new Loop(
    {
      clock: { now: () => (time += A_LOOK), wall: () => time },
      bell: new QuickBell(),
      heartbeat: new Heartbeat(),
      links: () => [],
      linksKey: () => '',
      buildOutput: () => silentOutput((levels, at) => flushed.push({ at, levels, slot: levels.snapshot(1)[0] })),
      take: () => waiting.shift(),
      post: (message) => posted.push(message),
    },
    {
      parts: [...partsOf(0, playing, memoryOf(playing), undefined)],
      state: freshState(playing, time),
      outputs: [{ id: 'none', protocol: 'sacn', to: 'multicast', family: 'IPv4', priority: 100 }],
      rate: 1000 / FRAME,
      zone: 'UTC',
    },
  );
  loop.start();
  let number = 0;
  let loads = 0;
  const told = () => posted.flatMap((one) => (one.kind === 'state' ? [one] : []));
  return {
    flushed,
    told,
    press: (button: string) => waiting.push({ kind: 'command', number: ++number, command: { do: 'press', button } }),
    /** As the main thread does: what the engine has already stays out. @returns the parts that went over. */
    load(document: Show) {
      const show = compileShow(document, playing);
      const memory = show.rig === playing.rig ? undefined : memoryOf(show);
      const parts = [...partsOf(++loads, show, memory, playing)];
      for (const part of parts) waiting.push({ kind: 'part', part });
      const taken = (): void => {
        playing = show;
      };
      return { parts, taken };
    },
    rounds(count: number): void {
      for (let i = 0; i < count; i++) loop.round();
    },
    untilLoaded(which: number): void {
      for (let i = 0; !told().some(({ loaded }) => loaded === which); i++) {
        if (i > 10_000) throw new Error(`Load ${which} is never taken over`);
        loop.round();
      }
    },
  };
}

const small = tinyShow({
  looks: [
    { id: 'low', fade: 0, unattended: true, parts: [{ who: everybody, level: levelOf(0.2) }] },
    { id: 'high', fade: 0, unattended: true, parts: [{ who: everybody, level: 1 }] },
  ],
  start: [{ look: 'low' }],
});
/** Two hundred lamps and three hundred looks: it goes over in parts and is made ready in steps. */
const large = (light: number): Show =>
  tinyShow({
    fixtures: Array.from({ length: 200 }, (_, i) => dimmer(`lamp-${i}`, i + 1)),
    looks: [
      { id: 'low', fade: 0, unattended: true, parts: [{ who: everybody, level: levelOf(light) }] },
      { id: 'high', fade: 0, unattended: true, parts: [{ who: everybody, level: 1 }] },
      ...Array.from({ length: 300 }, (_, i) => ({ id: `look-${i}`, parts: [{ who: only(`lamp-${i % 200}`), level: 1 }] })),
    ],
    start: [{ look: 'low' }],
  });

describe('While a large show is made ready', () => {
  test('frames go out in time, and a press meanwhile plays by the show of before', () => {
    const it = engine(small);
    it.rounds(20);
    const { parts } = it.load(large(0.4));
    expect(parts.length).toBeGreaterThan(8);
    it.rounds(3);
    it.press('high');
    it.untilLoaded(1);
    it.rounds(10);
    const order = it.told().map(({ acted, loaded }) => loaded ?? acted.map(({ command }) => command.do).join());
    expect(order).toEqual(['press', 1]);
    // The press was on before the show was taken over, and is on after it.
    const last = it.flushed.findLastIndex(({ slot }) => slot === 51);
    expect(it.flushed.slice(last + 1).map(({ slot }) => slot)).toEqual(it.flushed.slice(last + 1).map(() => 255));
    const memories = new Set(it.flushed.slice(last + 1).map(({ levels }) => levels));
    expect(memories.size).toBe(2);
    const gaps = it.flushed.slice(1).map(({ at }, i) => at - (it.flushed[i]?.at ?? 0));
    expect(Math.max(...gaps)).toBeLessThan(FRAME + SLICE);
  });

  test('what plays is told of once, with the number of the load', () => {
    const it = engine(small);
    it.load(large(0.4));
    it.untilLoaded(1);
    it.rounds(50);
    expect(it.told()).toMatchObject([{ acted: [], loaded: 1, state: { entries: [{ item: 'look:low' }] } }]);
    expect(it.flushed.at(-1)?.slot).toBe(102);
  });

  test('another that comes takes its place: it alone is played and told of', () => {
    const it = engine(small);
    it.load(large(0.4));
    it.rounds(9);
    it.load(large(0.6));
    it.untilLoaded(2);
    it.rounds(20);
    expect(it.told().map(({ loaded }) => loaded)).toEqual([2]);
    expect(new Set(it.flushed.map(({ slot }) => slot))).toEqual(new Set([51, 153]));
  });
});

describe('An edit of one look', () => {
  test('sends that look alone, keeps lamps and levels, and plays from the next frame on', () => {
    const document = large(0.4);
    const it = engine(document);
    it.rounds(20);
    const [levels] = it.flushed.map((one) => one.levels);
    const looks = document.looks.map((look) =>
      look.id === 'low' ? { ...look, parts: look.parts.map((part) => ({ ...part, level: levelOf(0.8) })) } : look,
    );
    const { parts } = it.load({ ...document, looks });
    expect(parts.map((part) => (part.part === 'items' ? part.items.map(([key]) => key) : part.part))).toEqual([
      'begin',
      ['look:low'],
      'end',
    ]);
    it.untilLoaded(1);
    it.rounds(5);
    expect(it.flushed.at(-1)?.slot).toBe(204);
    expect(new Set(it.flushed.map((one) => one.levels))).toEqual(new Set([levels]));
  });

  test('and another of the one after it: what neither touches is still there', () => {
    const document = large(0.4);
    const it = engine(document);
    const faster = { ...document, tempo: 130 };
    it.load(faster).taken();
    it.untilLoaded(1);
    it.load({ ...faster, tempo: 140 });
    it.untilLoaded(2);
    it.press('high');
    it.rounds(5);
    expect(it.flushed.at(-1)?.slot).toBe(255);
    it.press('look-0');
    it.rounds(5);
    expect(
      it
        .told()
        .at(-1)
        ?.state.entries.map(({ item }) => item),
    ).toContain('look:look-0');
  });
});
