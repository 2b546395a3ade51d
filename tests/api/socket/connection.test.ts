import { beforeEach, describe, expect, it } from 'vitest';
import type { FromRemote, ToRemote } from '../../../node/api/contract.ts';
import { Holds } from '../../../node/api/holds.ts';
import { Connection, type ConnectionHost } from '../../../node/api/socket/connection.ts';
import type { Command } from '../../../node/core/commands.ts';
import { InputError } from '../../../node/core/errors.ts';
import type { Role } from '../../../node/core/roles.ts';
import { FakeClock } from '../../helpers/fake-clock.ts';
import { recordedLog } from '../../helpers/recorded-log.ts';

/** The far end of a socket: what was handed over, and how it was ended. */
class FarEnd {
  bufferedAmount = 0;
  readonly texts: ToRemote[] = [];
  readonly frames: Uint8Array[] = [];
  pings = 0;
  closed: number | undefined;
  isCut = false;

  send = (data: unknown): void => {
    if (typeof data === 'string') this.texts.push(JSON.parse(data) as ToRemote);
    else this.frames.push(data as Uint8Array);
  };
  ping = (): void => void this.pings++;
  close = (code?: number): void => {
    this.closed = code;
  };
  terminate = (): void => {
    this.isCut = true;
  };
}

let clock: FakeClock;
let log: ReturnType<typeof recordedLog>;
let commands: [Command, string, string][];
let alive: number;
let heard: Role[];
let byHand: number;
/** Commands that wait for their answer; unless the test wants to answer itself, that comes at once. */
let answer: (command: Command) => Promise<void>;
let host: ConnectionHost;

beforeEach(() => {
  clock = new FakeClock();
  log = recordedLog();
  commands = [];
  alive = 0;
  heard = [];
  byHand = 0;
  answer = () => Promise.resolve();
  const on = new Set<string>();
  host = {
    trial: {},
    control: {
      resolve: (command) => {
        if (command.do === 'press' && command.button === 'nonsense') throw new InputError('There is no button "nonsense"');
        return command;
      },
      edit: () => Promise.reject(new Error('not here')),
      isTried: () => false,
      sample: () => undefined,
      step: () => Promise.reject(new Error('not here')),
      restore: () => Promise.reject(new Error('not here')),
      do: (command, who, from = 'person') => {
        commands.push([command, who, from]);
        if (command.do === 'press') on.add(command.button);
        if (command.do === 'release') on.delete(command.button);
        return answer(command).then(() => command) as never;
      },
      has: () => true,
      startsHit: (button) => button === 'bump',
    },
    holds: new Holds<object>((button) => on.has(button)),
    now: () => clock.now(),
    alive: (role) => {
      alive++;
      heard.push(role);
    },
    byHand: () => void byHand++,
    log,
  };
});

let ids = 0;
function phone(role: Role = 'operator', name = 'Phone') {
  const far = new FarEnd();
  const connection = new Connection(far, { id: ++ids, name, role, pairedAt: 0, seenAt: null }, host);
  const say = (message: FromRemote) => connection.take(Buffer.from(JSON.stringify(message)), false);
  const ask = (command: Command) => say({ type: 'command', id: ++ids, command });
  return { far, connection, say, ask };
}
/** Lets every promise that is due come in. */
const settled = () => new Promise<void>((done) => setImmediate(done));
const press: Command = { do: 'press', button: 'bump' };
const release: Command = { do: 'release', button: 'bump' };

describe('ended is ended', () => {
  it('takes no message after it, feeds no watch, says nothing more, and is cut half a second later', async () => {
    const { far, connection, say, ask } = phone();
    say({ type: 'beat', id: 1 });
    connection.end('Revoked');
    const before = [alive, far.texts.length];
    for (let i = 0; i < 50; i++) ask(press);
    say({ type: 'beat', id: 2 });
    connection.sendText('{"type":"done","id":1}');
    connection.offer('seen', '{}');
    await settled();
    expect([alive, far.texts.length]).toEqual(before);
    expect(commands).toEqual([]);
    expect(connection.isSilent(clock.now())).toBe(true);
    connection.turn(clock.advance(400));
    expect(far.isCut).toBe(false);
    connection.turn(clock.advance(200));
    expect([far.closed, far.isCut]).toEqual([1008, true]);
  });

  it('lets go at once of what was held, and of the wire', async () => {
    const { connection, ask, say } = phone();
    say({ type: 'watch-wire', rate: 30 });
    ask(press);
    await settled();
    connection.end('Revoked');
    expect(commands.slice(1)).toEqual([[release, 'Phone', 'nobody']]);
    expect(connection.wireRate).toBe(0);
    expect(byHand).toBe(1);
  });
});

describe('a hit', () => {
  it('that two phones hold is released when the second lifts; both are answered', async () => {
    const [a, b] = [phone(), phone('helper')];
    a.ask(press);
    b.ask(press);
    a.ask(release);
    await settled();
    expect(commands.map(([command]) => command.do)).toEqual(['press', 'press']);
    b.ask(release);
    await settled();
    expect(commands.map(([command]) => command.do)).toEqual(['press', 'press', 'release']);
    for (const { far } of [a, b]) expect(far.texts.map(({ type }) => type)).toEqual(['done', 'done']);
  });

  it('goes on when one of its two phones falls silent, and ends with the other', async () => {
    const [a, b] = [phone(), phone()];
    a.ask(press);
    b.ask(press);
    await settled();
    clock.advance(2000);
    b.say({ type: 'beat', id: 1 });
    clock.advance(1500);
    for (const { connection } of [a, b]) connection.turn(clock.now());
    expect(commands).toHaveLength(2);
    clock.advance(2000);
    for (const { connection } of [a, b]) connection.turn(clock.now());
    expect(commands.slice(2)).toEqual([[release, 'Phone', 'nobody']]);
  });

  it('is let go by a finger that lifts before the press was answered', async () => {
    const waiting: (() => void)[] = [];
    answer = () => new Promise((done) => waiting.push(done));
    const { ask, connection } = phone();
    ask(press);
    ask(release);
    for (const done of waiting) done();
    await settled();
    connection.letGo();
    expect(commands.map(([command]) => command.do)).toEqual(['press', 'release']);
  });

  it('is released once by a phone that goes, though the disk fails the press', async () => {
    answer = () => Promise.reject(Object.assign(new Error('database or disk is full'), { code: 'SQLITE_FULL' }));
    const { ask, connection, far } = phone();
    ask(press);
    await settled();
    expect(far.texts).toEqual([{ type: 'refused', id: ids, error: expect.stringMatching(/^The disk of the node is full/) }]);
    connection.letGo();
    connection.letGo();
    await settled();
    expect(commands.map(([command]) => command.do)).toEqual(['press', 'release']);
  });
});

describe('what goes wrong', () => {
  it('is answered in words when it is the asker’s, and logged when it is a bug; the connection lives on', async () => {
    const { ask, far } = phone('helper');
    ask({ do: 'press', button: 'nonsense' });
    ask({ do: 'blackout', on: true });
    await settled();
    expect(far.texts).toMatchObject([
      { type: 'refused', error: 'There is no button "nonsense"' },
      { type: 'refused', error: 'A helper may not do this' },
    ]);
    expect(log.lines).toEqual([]);
    answer = () => Promise.reject(new TypeError('x is not a function'));
    ask({ do: 'press', button: 'warm' });
    await settled();
    expect(far.texts[2]).toMatchObject({ type: 'refused', error: 'The node could not do this; its log says why' });
    expect(log.lines).toEqual([expect.stringMatching(/^A request failed: TypeError: x is not a function < at /)]);
    answer = () => Promise.resolve();
    ask({ do: 'press', button: 'warm' });
    await settled();
    expect(far.texts[3]?.type).toBe('done');
  });

  it('is answered with its place where a message is nested deeper than a call stack, and nobody acts on it', () => {
    const { far, connection } = phone();
    const deep = `${'['.repeat(7000)}${']'.repeat(7000)}`;
    const change = `{"do":"set","kind":"look","id":"warm","field":"parts","was":${deep}}`;
    connection.take(Buffer.from(`{"type":"edit","id":4,"edit":{"editId":"12345678","changes":[${change}]}}`), false);
    expect(far.texts).toEqual([
      {
        type: 'refused',
        id: 4,
        error: expect.stringMatching(/not understood: edit\.changes\[0\]\.was\[0\].*: must have at most 32/),
      },
    ]);
    expect(commands).toEqual([]);
  });

  it('ends a connection that says too much, makes too many mistakes or speaks in bytes', () => {
    const flood = phone();
    for (let i = 0; i < 101; i++) flood.say({ type: 'beat', id: i });
    expect(flood.far.closed).toBe(1008);
    const mistaken = phone();
    for (let i = 0; i < 21; i++) mistaken.connection.take(Buffer.from('{"type":'), false);
    expect(mistaken.far.closed).toBe(1008);
    const bytes = phone();
    bytes.connection.take(Buffer.from([1]), true);
    expect(bytes.far.closed).toBe(1003);
  });
});

describe('a phone that says nothing', () => {
  it('is pinged and then dropped; one whose page merely sleeps answers the ping and stays', () => {
    const [dead, asleep] = [phone(), phone()];
    for (let half = 0, answered = 0; half < 120; half++) {
      for (const { connection } of [dead, asleep]) connection.turn(clock.advance(250));
      if (asleep.far.pings === answered) continue;
      answered = asleep.far.pings;
      asleep.connection.pong();
    }
    expect([dead.far.pings, dead.far.isCut]).toEqual([1, true]);
    expect(asleep.far.pings).toBeGreaterThan(5);
    expect(asleep.far.isCut).toBe(false);
    expect(asleep.connection.isSilent(clock.now())).toBe(true);
    expect(alive).toBe(0);
  });

  it('is not taken for dead because the node itself was busy: it is asked first', () => {
    const { connection, far, say } = phone();
    connection.turn(clock.advance(60_000));
    expect([far.pings, far.isCut]).toEqual([1, false]);
    say({ type: 'beat', id: 1 });
    connection.turn(clock.advance(4000));
    expect(far.isCut).toBe(false);
  });
});

describe('a phone that is slow', () => {
  const frame = (value: number) => Uint8Array.from([0, 1, value]);

  it('is not sent the same twice, and gets the newest of what it missed when it is ready again', () => {
    const { connection, far } = phone();
    const [lit, half, dark] = [frame(255), frame(128), frame(0)];
    connection.offer(1, lit);
    connection.offer(1, lit);
    far.bufferedAmount = 300 * 1024;
    connection.offer(1, half);
    connection.offer(1, dark);
    connection.offer('wire', '{"type":"picture","colours":[0]}');
    expect(far.frames).toEqual([lit]);
    far.bufferedAmount = 0;
    connection.offer(1, dark);
    connection.offer('wire', '{"type":"picture","colours":[0]}');
    expect(far.frames).toEqual([lit, dark]);
    expect(far.texts).toEqual([{ type: 'picture', colours: [0] }]);
  });

  it('beyond hope is cut off', () => {
    const { connection, far } = phone();
    far.bufferedAmount = 5 * 1024 * 1024;
    connection.sendText('{}');
    expect([far.texts.length, far.isCut]).toEqual([0, true]);
  });
});

it('whoever is heard of counts by the role that the phone has: a helper is no operator', () => {
  phone('helper').say({ type: 'beat', id: 1 });
  phone('operator').say({ type: 'beat', id: 2 });
  phone('viewer').say({ type: 'beat', id: 3 });
  expect(heard).toEqual(['helper', 'operator']);
});
