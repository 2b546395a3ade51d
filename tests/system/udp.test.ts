import dgram from 'node:dgram';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { UdpOptions, UdpSocket } from '../../node/core/ports.ts';
import { LinkWatch, presentLinks } from '../../node/system/links.ts';
import { openUdpBy } from '../../node/system/udp.ts';

/** Every call of a datagram socket that can throw: Node.js documentation, "UDP/datagram sockets", and what libuv gives for each. */
const calls = ['bind', 'setBroadcast', 'setMulticastInterface', 'addMembership', 'getSendQueueCount', 'send', 'close'] as const;
type Call = (typeof calls)[number];

const systemError = (code: string): Error => Object.assign(new Error(code), { code });

/** A real socket on the loopback, of which one call throws as long as `failing` says so. */
function breakable(call: Call | 'create') {
  const state = { failing: true, created: 0 };
  const create = (options: dgram.SocketOptions): dgram.Socket => {
    if (call === 'create' && state.failing) throw systemError('EMFILE');
    state.created++;
    const socket = dgram.createSocket(options);
    if (call === 'create') return socket;
    const real = socket[call].bind(socket) as (...rest: unknown[]) => unknown;
    Object.assign(socket, {
      [call]: (...rest: unknown[]) => {
        if (state.failing) throw systemError('ENOBUFS');
        return real(...rest);
      },
    });
    return socket;
  };
  return { state, create };
}

describe('a socket lives through whatever the system refuses', () => {
  const options = { family: 'IPv4', port: 0, broadcast: true, multicastInterface: '127.0.0.1', groups: ['239.255.0.99'] } as const;
  let receiver: dgram.Socket;
  let heard: string[];
  let errors: string[];
  let socket: UdpSocket | undefined;
  const open = (create: (of: dgram.SocketOptions) => dgram.Socket, rest: Partial<UdpOptions> = {}): UdpSocket => {
    socket = openUdpBy(create, { ...options, ...rest, onError: (code) => errors.push(code) });
    return socket;
  };
  beforeEach(async () => {
    heard = [];
    errors = [];
    receiver = dgram.createSocket('udp4');
    receiver.on('message', (bytes) => heard.push(bytes.toString()));
    await new Promise<void>((resolve) => receiver.bind(0, '127.0.0.1', resolve));
  });
  afterEach(() => {
    socket?.close();
    receiver.close();
  });
  const say = (word: string): void => socket?.send(Buffer.from(word), receiver.address().port, '127.0.0.1');

  it.each(['create', ...calls] as const)('%s: it is counted, tried again, and never thrown', async (call) => {
    const { state, create } = breakable(call);
    open(create);
    say('lost');
    say('lost too');
    if (call !== 'close') expect(new Set(errors)).toEqual(new Set([call === 'create' ? 'EMFILE' : 'ENOBUFS']));
    state.failing = false;
    await vi.waitFor(
      () => {
        say('back');
        expect(heard).toContain('back');
      },
      { timeout: 5000, interval: 50 },
    );
  });

  it('a send that is lost for want of a socket is an error as any other', () => {
    const { create } = breakable('create');
    open(create);
    expect(errors).toEqual(['EMFILE']);
    say('one');
    say('two');
    expect(errors).toEqual(['EMFILE', 'EMFILE', 'EMFILE']);
  });

  it('a socket that is closed does not open again', () => {
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
    const { state, create } = breakable('create');
    open(create).close();
    state.failing = false;
    vi.advanceTimersByTime(60_000);
    vi.useRealTimers();
    expect(state.created).toBe(0);
  });
});

describe('the links', () => {
  // What libuv gives when there is no descriptor left, measured: a positive number, which it has no name for.
  const failing = (errno: number) => () => {
    throw Object.assign(new Error('A system error occurred'), { code: 'ERR_SYSTEM_ERROR', errno });
  };

  it.each([
    [24, 'EMFILE'],
    [-24, 'EMFILE'],
    [-12, 'ENOMEM'],
    [0, 'EUNKNOWN'],
  ])('cannot be seen where the system answers %i, which is not the same as that there are none', (errno, name) => {
    const codes: string[] = [];
    expect(presentLinks((code) => codes.push(code), failing(errno))).toBeUndefined();
    expect(codes).toEqual([name]);
    expect(presentLinks(undefined, () => ({}))).toEqual([]);
  });

  it('are told of once, however often they are looked at in vain', () => {
    const log: string[] = [];
    const watch = new LinkWatch((line) => log.push(line));
    for (let i = 0; i < 50; i++) {
      for (let j = 0; j < 20; j++) expect(watch.look(failing(24))).toBeUndefined();
      expect(watch.look(() => ({}))).toEqual([]);
    }
    expect(log).toEqual(['The network interfaces cannot be looked at (EMFILE); those that were seen last go on being used.']);
  });
});
