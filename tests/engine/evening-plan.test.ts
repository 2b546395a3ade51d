import { describe, expect, it } from 'vitest';
import type { Command } from '../../node/core/commands.ts';
import { EveningPlan } from '../../node/engine/evening-plan.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { freshState, reduce } from '../../node/playback/reduce.ts';
import type { PlayState } from '../../node/playback/state.ts';
import { FakeClock } from '../helpers/fake-clock.ts';
import { everybody, tinyShow } from '../helpers/tiny-show.ts';

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const STEP = 500;

/** The evening of a show from eight o'clock on, by the fake clock's day. */
function evening({ until, zone = 'UTC', saved }: { until?: number; zone?: string; saved?: Partial<PlayState> } = {}) {
  const show = compileShow(
    tinyShow({
      looks: ['dinner', 'dance'].map((id) => ({ id, unattended: true, parts: [{ who: everybody, level: 1 }] })),
      moments: [
        { id: 'arrive', at: '19:00', automatic: true },
        { id: 'dinner', at: '20:30', automatic: true, starts: [{ look: 'dinner' }] },
        { id: 'toasts', at: '21:00' },
        { id: 'dance', at: '22:00', automatic: true, starts: [{ look: 'dance' }] },
        { id: 'last', at: '00:30', automatic: true },
      ],
    }),
  );
  const clock = new FakeClock();
  const plan = new EveningPlan(clock, zone, until === undefined ? undefined : clock.wall() + until);
  let state: PlayState = { ...freshState(show, clock.now()), ...saved };
  const begun: string[] = [];
  const say = (command: Command, number?: number): void => {
    state = reduce(show, state, command, clock.now(), number);
  };
  return {
    clock,
    plan,
    begun,
    say,
    get now(): PlayState {
      return state;
    },
    /** Lets time pass, half a second at a time; with somebody there or nobody. */
    pass(millis: number, isWatched = true): string[] {
      const from = begun.length;
      for (let left = millis; left > 0; left -= STEP) {
        clock.advance(Math.min(STEP, left));
        const command = plan.due(show, state, isWatched ? clock.now() : 0, clock.now());
        if (command !== undefined && command.do !== 'moment') say(command);
        if (command?.do !== 'moment') continue;
        begun.push(command.unwatched === true ? `${command.moment} alone` : command.moment);
        say(command);
      }
      return begun.slice(from);
    },
  };
}

describe('What is automatic begins by itself', () => {
  it('at its time, once; what was due before the node was started is past, and a mere time is a reminder', () => {
    const it = evening();
    expect(it.pass(30 * MINUTE - 1000)).toEqual([]);
    expect(it.pass(2000)).toEqual(['dinner']);
    expect(it.pass(89 * MINUTE)).toEqual([]);
    expect(it.pass(5 * HOUR)).toEqual(['dance', 'last']);
  });

  it('not where somebody has begun it, or what comes after it, before', () => {
    const it = evening();
    it.say({ do: 'moment', moment: 'toasts' }, 1);
    expect(it.pass(3 * HOUR)).toEqual(['dance']);
  });

  it('as much later as the evening is late', () => {
    const it = evening();
    it.say({ do: 'late', minutes: 15 }, 1);
    expect(it.pass(44 * MINUTE)).toEqual([]);
    expect(it.pass(2 * MINUTE)).toEqual(['dinner']);
  });

  it("in tonight's order: what was put before the moment that is on does not come any more", () => {
    const it = evening();
    it.say({ do: 'order', moments: ['arrive', 'dance', 'dinner', 'toasts', 'last'] }, 1);
    it.say({ do: 'moment', moment: 'dinner' }, 2);
    expect(it.pass(5 * HOUR)).toEqual(['last']);
  });

  it('with nobody there says so, so that only what may run alone comes', () => {
    expect(evening().pass(HOUR, false)).toEqual(['dinner alone']);
  });

  it('where the node is', () => {
    // Eight o'clock in UTC is four in the afternoon in New York in June.
    const it = evening({ zone: 'America/New_York' });
    expect(it.pass(3 * HOUR - 1000)).toEqual([]);
    expect(it.pass(2000)).toEqual(['arrive']);
    it.plan.zone = 'UTC';
    expect(it.pass(2 * HOUR)).toEqual(['last']);
  });
});

describe('The next night', () => {
  const all = ['arrive', 'dinner', 'dance', 'last'];

  it('begins anew: what was on, how late it was and the order were those of the night before', () => {
    const it = evening();
    it.say({ do: 'order', moments: ['dance', 'last', 'arrive', 'dinner', 'toasts'] }, 1);
    it.say({ do: 'late', minutes: 20 }, 2);
    it.say({ do: 'moment', moment: 'last' }, 3);
    it.pass(9 * HOUR);
    expect(it.now.evening).toMatchObject({ moment: 'dinner', late: 20 });
    it.pass(2 * HOUR);
    expect(it.now.evening).toEqual({});
    expect(it.pass(23 * HOUR)).toEqual(all);
  });

  it('also where the node was off in between, and for a clock that is years behind only once it knows', () => {
    const saved = { evening: { moment: 'last', late: 20 } };
    const it = evening({ until: -6 * 24 * HOUR, saved });
    expect(it.pass(5 * HOUR)).toEqual(['dinner', 'dance', 'last']);
    const behind = evening({ until: -10 * MINUTE, saved });
    behind.clock.step(-10 * 365 * 24 * HOUR);
    behind.pass(MINUTE);
    behind.clock.step(10 * 365 * 24 * HOUR);
    behind.pass(MINUTE);
    expect(behind.now.evening).toMatchObject(saved.evening);
  });

  it('by a clock that jumps a month ahead and back brings nothing twice', () => {
    const it = evening();
    expect(it.pass(HOUR)).toEqual(['dinner']);
    it.clock.step(30 * 24 * HOUR);
    it.pass(MINUTE);
    it.clock.step(-30 * 24 * HOUR);
    expect(it.pass(2 * HOUR)).toEqual(['dance']);
  });
});

describe('After a power cut', () => {
  it('what fell due meanwhile begins, in its order', () => {
    const it = evening({ until: -90 * MINUTE });
    expect(it.pass(1000)).toEqual(['arrive']);
    const later = evening({ until: -10 * MINUTE });
    later.clock.step(2 * HOUR);
    expect(later.pass(1000)).toEqual(['dinner', 'dance']);
  });

  it('of a night, nothing of that night begins', () => {
    const it = evening({ until: -20 * HOUR });
    expect(it.pass(1000)).toEqual([]);
  });
});

describe('A clock on the wall that steps', () => {
  it('forward brings what it stepped over, once, and back nothing twice', () => {
    const it = evening();
    it.pass(MINUTE);
    it.clock.step(40 * MINUTE);
    expect(it.pass(1000)).toEqual(['dinner']);
    it.clock.step(-40 * MINUTE);
    expect(it.pass(100 * MINUTE)).toEqual([]);
    expect(it.pass(15 * MINUTE)).toEqual([]);
    expect(it.pass(HOUR)).toEqual(['dance']);
  });

  it('by years, as on a board without a battery that learns the time at ten past ten: what fell due since it was started begins', () => {
    const it = evening();
    it.clock.step(-10 * 365 * 24 * HOUR - 10 * HOUR);
    expect(it.pass(20 * MINUTE)).toEqual([]);
    it.clock.step(10 * 365 * 24 * HOUR + 10 * HOUR + 110 * MINUTE);
    expect(it.pass(1000)).toEqual(['dance']);
    expect(it.pass(2 * HOUR)).toEqual([]);
  });

  it('far ahead and back again: the plan goes on by the time that is right in the end', () => {
    const it = evening();
    it.clock.step(30 * 24 * HOUR);
    it.pass(MINUTE);
    it.clock.step(-30 * 24 * HOUR);
    expect(it.pass(HOUR)).toEqual(['dinner']);
  });
});
