import { describe, expect, it } from 'vitest';
import { Bell } from '../../node/core/bell.ts';
import { Heartbeat } from '../../node/core/heartbeat.ts';
import type { Link, Output } from '../../node/core/ports.ts';
import { Published } from '../../node/core/published.ts';
import { Loop } from '../../node/engine/loop.ts';
import { partsOf } from '../../node/engine/takeover.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { freshState } from '../../node/playback/reduce.ts';
import { FakeClock } from '../helpers/fake-clock.ts';
import { link } from '../helpers/recording-udp.ts';
import { tinyShow } from '../helpers/tiny-show.ts';

/** The engine's loop with an output that notes when it gets its turn, woken every millisecond. */
function engine(rate: number, links: () => readonly Link[] | undefined = () => []) {
  const clock = new FakeClock();
  const start = clock.now();
  const show = compileShow(tinyShow({}));
  const bell = new Bell();
  const { memory } = new Published([1], show.rig.rest.length);
  const turns: { readonly what: 'flush' | 'tend'; readonly at: number }[] = [];
  const relinked: (readonly Link[])[] = [];
  let dueAt = Number.POSITIVE_INFINITY;
  const note = (what: 'flush' | 'tend') => {
    turns.push({ what, at: clock.now() - start });
    // As after the data of a frame: synchronization is due a little later.
    dueAt = what === 'flush' ? clock.now() + 2 : Number.POSITIVE_INFINITY;
    return 0;
  };
  const output: Output = {
    id: 'noted',
    settle: () => undefined,
    repeat: () => undefined,
    carry: () => undefined,
    relink: (now) => void relinked.push(now),
    flush: () => note('flush'),
    tend: () => note('tend'),
    get dueAt() {
      return dueAt;
    },
    stop: () => undefined,
    report: () => ({
      id: 'noted',
      protocol: 'sacn',
      state: 'sending',
      towards: '',
      packets: 0,
      dropped: 0,
      errors: [],
      universes: [],
    }),
  };
  const loop = new Loop(
    {
      clock,
      bell,
      heartbeat: new Heartbeat(),
      links,
      linksKey: (all) => all.map(({ address }) => address).join(),
      buildOutput: () => output,
      take: () => {
        // So that the loop does not really sleep.
        bell.ring();
        return undefined;
      },
      post: () => undefined,
    },
    {
      parts: [...partsOf(1, show, memory, undefined)],
      state: freshState(show, start),
      outputs: [{ id: 'noted', protocol: 'sacn', to: 'multicast', family: 'IPv4', priority: 100 }],
      rate,
      zone: 'UTC',
    },
  );
  loop.start();
  const pass = (millis: number): void => {
    for (const end = clock.now() + millis; clock.now() < end; clock.advance(1)) loop.round();
  };
  return { turns, relinked, pass };
}

describe('between frames', () => {
  it('an output has a turn when it is due, and no other where frames come often', () => {
    const { turns, pass } = engine(40);
    pass(100);
    expect(turns.filter(({ at }) => at > 0).slice(0, 5)).toEqual([
      { what: 'tend', at: 2 },
      { what: 'flush', at: 25 },
      { what: 'tend', at: 27 },
      { what: 'flush', at: 50 },
      { what: 'tend', at: 52 },
    ]);
  });

  it.each([1, 2, 3, 5, 10])('an output has a turn every tenth of a second at the least, at %i frames a second too', (rate) => {
    const { turns, pass } = engine(rate);
    pass(3000);
    const times = turns.map(({ at }) => at);
    for (const [i, at] of times.slice(1).entries()) expect(at - (times[i] ?? 0)).toBeLessThanOrEqual(100);
    expect(turns.filter(({ what }) => what === 'flush')).toHaveLength(3 * rate);
  });
});

describe('while the system cannot say which links there are', () => {
  it('those that were seen last are kept', () => {
    const eth = link('eth0', '192.0.2.10');
    let seen: readonly Link[] | undefined = [eth];
    const { relinked, pass } = engine(40, () => seen);
    pass(500);
    seen = undefined;
    pass(500);
    expect(relinked).toEqual([[eth]]);
    seen = [];
    pass(500);
    expect(relinked).toEqual([[eth], []]);
  });
});
