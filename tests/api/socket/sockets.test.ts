import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { WebSocket } from 'ws';
import type { State, ToRemote } from '../../../node/api/contract.ts';
import { Doors } from '../../../node/api/doors.ts';
import { Holds } from '../../../node/api/holds.ts';
import { type SocketParts, Sockets } from '../../../node/api/socket/sockets.ts';
import { holderOf, Visitors } from '../../../node/api/visitors.ts';
import type { Levels } from '../../../node/core/levels.ts';
import { Published } from '../../../node/core/published.ts';
import type { Role } from '../../../node/core/roles.ts';
import { Night } from '../../../node/plan/night.ts';
import { type CompiledShow, compileShow } from '../../../node/playback/compile.ts';
import { freshState, reduce } from '../../../node/playback/reduce.ts';
import type { PlayState } from '../../../node/playback/state.ts';
import { openDatabase } from '../../../node/store/database.ts';
import type { RemotesAtHand } from '../../../node/store/remotes-at-hand.ts';
import { FakeClock } from '../../helpers/fake-clock.ts';
import { until } from '../../helpers/node-process.ts';
import { recordedLog } from '../../helpers/recorded-log.ts';
import { remotesIn } from '../../helpers/store-in-place.ts';
import { everybody, tinyShow } from '../../helpers/tiny-show.ts';

/** Real sockets on the loopback, before a node whose clock stands until it is told to go on. */
let folder: string;
let db: ReturnType<typeof openDatabase>;
let remotes: RemotesAtHand;
let clock: FakeClock;
let server: Server;
let sockets: Sockets;
let levels: Levels;
/** What plays: an attended look, so that somebody must be there. */
let show: CompiledShow;
let state: PlayState;
let summaries: number;
let lastSign: number;
const phones: Phone[] = [];

class Phone {
  readonly socket: WebSocket;
  readonly messages: ToRemote[] = [];
  readonly frames: Buffer[] = [];
  closed: number | undefined;

  constructor(token: string, url: string) {
    this.socket = new WebSocket(`${url.replace('http', 'ws')}/ws`, { headers: { cookie: `duskhand=${token}`, origin: url } });
    this.socket.on('message', (data, isBinary) => {
      if (isBinary) this.frames.push(data as Buffer);
      else this.messages.push(JSON.parse(String(data)) as ToRemote);
    });
    this.socket.on('close', (code) => {
      this.closed = code;
    });
    this.socket.on('error', () => undefined);
    phones.push(this);
  }

  get states(): State[] {
    return this.messages.flatMap((one) => (one.type === 'state' ? [one.state] : []));
  }

  say(message: object): void {
    this.socket.send(JSON.stringify(message));
  }
}

/** A show that counts how often it is summed up. */
function counted(name: string): CompiledShow {
  const looks = [{ id: 'dance', parts: [{ who: everybody, level: 1 }] }];
  const hits = [{ id: 'bump', fadeOut: 0.3, parts: [{ who: everybody, level: 1 }] }];
  const compiled = compileShow({ ...tinyShow({ looks, hits, start: [{ look: 'dance' }] }), name });
  return {
    ...compiled,
    show: {
      ...compiled.show,
      // Nothing but the summary asks for it.
      get demo() {
        summaries++;
        return false;
      },
    },
  };
}

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'duskhand-test-'));
  mkdirSync(join(folder, 'app'));
  db = openDatabase(folder);
  remotes = remotesIn(db);
  clock = new FakeClock();
  summaries = 0;
  show = counted('First');
  lastSign = clock.now();
  const published = new Published([1], show.rig.rest.length);
  levels = published.levels;
  state = freshState(show, clock.now());
  const control: SocketParts['control'] = {
    get show() {
      return show;
    },
    get state() {
      return state;
    },
    get lastSign() {
      return lastSign;
    },
    tonight: new Night(0, 'UTC'),
    diskFails: false,
    lost: [],
    resolve: (command) => command,
    edit: () => Promise.reject(new Error('not here')),
    isTried: () => false,
    sample: () => undefined,
    step: () => Promise.reject(new Error('not here')),
    restore: () => Promise.reject(new Error('not here')),
    do: (command) => command as never,
    has: () => false,
    startsHit: () => false,
  };
  const visitors = new Visitors(remotes, clock);
  sockets = new Sockets({
    control,
    engine: { published, report: undefined, byHand: () => undefined },
    visitors,
    holds: new Holds(() => false),
    clock,
    node: { name: 'Node', version: '1', startedAt: 0, rate: 40 },
    alive: () => {
      lastSign = clock.now();
    },
    sources: () => [],
    log: recordedLog(),
  });
  server = createServer();
  new Doors((request) => {
    const remote = visitors.of(request);
    return remote === undefined ? undefined : holderOf(remote);
  }, clock).guard(server, (_request, response) => void response.end());
  sockets.serve(server);
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  sockets.start();
});

afterEach(() => {
  sockets.stop();
  for (const { socket } of phones.splice(0)) socket.terminate();
  server.close();
  db.close();
  rmSync(folder, { recursive: true });
});

const pair = async (role: Role = 'operator') => (await remotes.add('Phone', role, clock.now())).token;
async function open(token: string): Promise<Phone> {
  const phone = new Phone(token, `http://127.0.0.1:${(server.address() as AddressInfo).port}`);
  await until('first state or the end', () => (phone.states.length > 0 || phone.closed !== undefined ? true : undefined));
  return phone;
}

describe('Whoever joins', () => {
  it('hears who they are, the show and what plays; the show is summed up once for all, and once more when another plays', async () => {
    const all = [await open(await pair()), await open(await pair('viewer')), await open(await pair())];
    expect(all.map(({ messages }) => messages[0])).toMatchObject([
      { type: 'hello', you: { id: 1, role: 'operator' }, show: { name: 'First' }, now: clock.now(), wall: clock.wall() },
      { type: 'hello', you: { id: 2, role: 'viewer' }, show: { name: 'First' } },
      { type: 'hello', you: { id: 3, role: 'operator' }, show: { name: 'First' } },
    ]);
    expect(summaries).toBe(1);
    show = counted('Second');
    sockets.showChanged();
    const named = (phone: Phone) => phone.messages.some((one) => one.type === 'hello' && one.show.name === 'Second') || undefined;
    for (const phone of all) await until('the other show', () => named(phone));
    expect(summaries).toBe(2);
  });

  it('during a warning hears that it is over, for they have come', async () => {
    // Nobody was there to be told of it.
    const { allow } = show.show.remoteWatch;
    clock.advance(allow * 1000 + 1000);
    const phone = await open(await pair());
    expect(phone.states[0]?.watch.phase).toBe('warned');
    phone.say({ type: 'beat', id: 1 });
    await until('the end of the warning', () => (phone.states.at(-1)?.watch.phase === 'kept' ? true : undefined));
  });

  it('hears of a warning that begins while they look on', async () => {
    const viewer = await open(await pair('viewer'));
    clock.advance(show.show.remoteWatch.allow * 1000 + 1000);
    await until('the warning', () => (viewer.states.at(-1)?.watch.phase === 'warned' ? true : undefined));
  });
});

describe('A button that comes and goes faster than a second', () => {
  it('is told of once more when its fade is over, though nobody does anything', async () => {
    // The look of the start has come in: nothing else is on its way.
    clock.advance(3000);
    const phone = await open(await pair());
    const said = () => phone.states.at(-1)?.buttons.find(({ id }) => id === 'bump')?.state;
    const become = async (command: 'press' | 'release', shown: string) => {
      state = reduce(show, state, { do: command, button: 'bump' }, clock.now());
      sockets.changed();
      await until(shown, () => (said() === shown ? true : undefined));
    };
    await become('press', 'on');
    await become('release', 'going');
    clock.advance(300);
    await until('its end', () => (said() === 'off' ? true : undefined));
  });
});

describe('A watcher of the wire', () => {
  it('is sent a universe when it changes and not otherwise, and all of it when they ask anew', async () => {
    const phone = await open(await pair());
    phone.say({ type: 'watch-wire', rate: 30 });
    await until('the first frame', () => phone.frames[0]);
    levels.slots(1)[0] = 200;
    levels.publish();
    await until('the change', () => phone.frames.find((frame) => frame[2] === 200));
    expect(phone.frames).toHaveLength(2);
    phone.say({ type: 'watch-wire', rate: 30 });
    await until('a third', () => phone.frames[2]);
  });
});

describe('Places', () => {
  it('are four for one remote, the newest', async () => {
    const token = await pair();
    const all: Phone[] = [];
    for (let i = 0; i < 6; i++) all.push(await open(token));
    await until('two to go', () => (all.slice(0, 2).every(({ closed }) => closed === 1008) ? true : undefined));
    expect(all.slice(2).map(({ closed }) => closed)).toEqual(Array(4).fill(undefined));
    expect(sockets.isConnected(1)).toBe(true);
  });

  it('are never so full of viewers that an operator does not get in', async () => {
    const viewers: Phone[] = [];
    for (let i = 0; i < 51; i++) {
      const token = await pair('viewer');
      for (let n = 0; n < 4; n++) viewers.push(await open(token));
    }
    const operator = await open(await pair());
    operator.say({ type: 'beat', id: 1 });
    await until('an answer', () => operator.messages.find(({ type }) => type === 'beat'));
    const gone = () => viewers.filter(({ closed }) => closed !== undefined).length;
    await until('as many viewers to go as there are too many', () => (gone() === 5 ? true : undefined));
    expect(operator.closed).toBeUndefined();
  });
});

describe('When a remote was here', () => {
  it('is written once a minute at most', async () => {
    const token = await pair();
    await open(token);
    const first = remotes.list()[0]?.seenAt;
    expect(first).toBe(clock.wall());
    clock.advance(59_000);
    await open(token);
    expect(remotes.list()[0]?.seenAt).toBe(first);
    clock.advance(2000);
    await open(token);
    expect(remotes.list()[0]?.seenAt).toBe(clock.wall());
  });
});
