import { type ChildProcess, spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { endAll, LOOPBACK, newFolder, showFile, until } from '../helpers/node-process.ts';
import { Listener } from './listener.ts';
import { plainShow } from './plain-show.ts';

/**
 * What the node tells the service manager, by sd_notify(3): lines of a datagram, written to the descriptor that sd_listen_fds(3) names.
 * A pipe stands in for the socket: what is written is the same.
 */
const MAIN = fileURLToPath(new URL('../../dist/node/main.js', import.meta.url));
const NOTIFY = 3;

class Service {
  readonly process: ChildProcess;
  told = '';

  constructor(sacn: string, environment: Record<string, string>, more: readonly string[] = []) {
    const words = ['run', '--data', newFolder(), '--show', showFile(plainShow), '--http', '127.0.0.1:0', ...LOOPBACK];
    // The shell becomes the node, so the number that it names is the node's.
    this.process = spawn(
      'sh',
      ['-c', 'LISTEN_PID=$$ exec "$0" "$@"', process.execPath, MAIN, ...words, '--sacn', sacn, '--artnet', 'off', ...more],
      { stdio: ['ignore', 'ignore', 'ignore', 'pipe'], env: { PATH: process.env.PATH, ...environment } },
    );
    this.process.stdio[NOTIFY]?.on('data', (bytes: Buffer) => {
      this.told += bytes.toString();
    });
  }

  lines(): string[] {
    return this.told.split('\n').filter((line) => line !== '');
  }

  count(line: string): number {
    return this.lines().filter((one) => one === line).length;
  }

  says(line: string, times = 1): Promise<true> {
    return until(`${line} to the service manager`, () => this.count(line) >= times || undefined);
  }
}

const asSystemd = { NOTIFY_SOCKET: '/run/systemd/notify', LISTEN_FDS: '1', LISTEN_FDNAMES: 'notify' };
let wire: Listener;
let service: Service | undefined;
beforeEach(async () => {
  wire = await Listener.open();
});
afterEach(async () => {
  const child = service?.process;
  if (child !== undefined && child.exitCode === null && child.signalCode === null) {
    const ended = new Promise((resolve) => child.once('exit', resolve));
    child.kill('SIGKILL');
    await ended;
  }
  service = undefined;
  await endAll();
  wire.close();
});

describe('a node as a service', () => {
  it('is ready when the first frame is out, says what it does, feeds the watchdog, and says that it stops', async () => {
    service = new Service(wire.address, { ...asSystemd, WATCHDOG_USEC: '1800000' });
    await service.says('READY=1');
    expect(wire.heard.length).toBeGreaterThan(0);
    await service.says('WATCHDOG=1', 3);
    await until('an output in its status', () =>
      service?.lines().find((line) => /^STATUS=Playing "[^"]+"; sACN sending: 127\.0\.0\.1:\d+$/.test(line)),
    );
    expect(service.count('READY=1')).toBe(1);
    service.process.kill('SIGTERM');
    await service.says('STOPPING=1');
    await until('the end', () => service?.process.exitCode === 0 || undefined);
  });

  it('is ready, and on time, where no output finds a way out', async () => {
    // A cable that is out is no reason to begin again.
    service = new Service('multicast', { ...asSystemd, WATCHDOG_USEC: '1800000' }, ['--interface', 'away0']);
    await service.says('READY=1');
    await service.says('WATCHDOG=1', 3);
    expect(service.told).toMatch(/^STATUS=Playing "[^"]+"; sACN waiting: /m);
  });

  it('does not feed the watchdog while its main thread hangs, though frames go on', async () => {
    const hangs = `process.on('SIGWINCH', () => Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 3000))`;
    const NODE_OPTIONS = `--import=data:text/javascript,${encodeURIComponent(hangs)}`;
    service = new Service(wire.address, { ...asSystemd, NODE_OPTIONS, WATCHDOG_USEC: '1800000' });
    await service.says('WATCHDOG=1', 2);
    service.process.kill('SIGWINCH');
    const from = performance.now();
    // A fed line may still be on its way when it begins.
    await until('its first half second', () => performance.now() - from > 500 || undefined);
    const before = service.count('WATCHDOG=1');
    await until('three times of feeding', () => performance.now() - from > 2500 || undefined);
    expect(service.count('WATCHDOG=1')).toBe(before);
    await wire.next('frame', () => true);
    await service.says('WATCHDOG=1', before + 2);
  });

  it('tells nobody where nobody is said to listen, or somebody else is', async () => {
    const nobody: Record<string, string>[] = [
      {},
      { NOTIFY_SOCKET: '/run/systemd/notify' },
      { ...asSystemd, LISTEN_FDNAMES: 'other' },
    ];
    for (const environment of nobody) {
      const before = wire.heard.length;
      service = new Service(wire.address, { ...environment, WATCHDOG_USEC: '100000' });
      const { process: child } = service;
      await wire.next('frame', () => true, before);
      const ended = new Promise((resolve) => child.once('exit', resolve));
      // Its handlers are there by its first frame.
      child.kill('SIGTERM');
      await ended;
      expect(service.told).toBe('');
      await wire.count();
    }
  });
});
