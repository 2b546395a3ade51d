// npm run test:pi [-- amd64|arm64]: the package in a Debian 13 of its own, as root: amd64 under systemd, arm64 by emulation (qemu-user-static)
// without. Debian: debootstrap, iproute2, for arm64 qemu-user-static and g++-aarch64-linux-gnu.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Machine, until } from './machine.mjs';

const { version } = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8'));
const NEXT = `${version}.1`;
/** After so long without packets a receiver counts a source as lost: E1.31-2018 section 6.7.1. */
const DATA_LOSS = 2500;
/** A button of the show that a new node plays. */
const BUTTON = 'Dinner';

const asked = process.argv.slice(2);
const debs = mkdtempSync(join(tmpdir(), 'duskhand-debs-'));
let failed = 0;
let passed = 0;

function check(what, isSo, more = '') {
  if (isSo) passed++;
  else failed++;
  console.log(`${isSo ? 'ok  ' : 'FAIL'} ${what}${more === '' ? '' : ` (${more})`}`);
}

/** How the node is started, found and told, with systemd or without: then by unicast, as qemu 7 sets no interface for multicast. */
function handsOn(machine) {
  if (machine.hasSystemd)
    return {
      pid: () => machine.does('systemctl show -P MainPID duskhand').trim(),
      isPlaying: () => machine.tries('systemctl is-active duskhand'),
      comesBack: () => undefined,
      leaves: () => undefined,
    };
  const pid = () =>
    machine
      .does('for one in /proc/[0-9]*; do [ "$(stat -c %U "$one" 2>/dev/null)" != duskhand ] || basename "$one"; done')
      .split('\n')[0];
  const run = () =>
    machine.starts(
      'mkdir -p /var/lib/duskhand; chown duskhand: /var/lib/duskhand; DUSKHAND_DATA=/var/lib/duskhand exec setpriv --reuid=duskhand --regid=duskhand --clear-groups duskhand run --sacn 127.0.0.1 --artnet off',
    );
  return {
    pid,
    isPlaying: () => pid() !== '',
    comesBack: async (signal) => {
      if (signal !== undefined) machine.does(`kill -s ${signal} ${pid()}`);
      await until('end', () => pid() === '');
      run();
    },
    leaves: () => machine.does(`kill ${pid()}`),
    run,
  };
}

async function testOn(architecture, hasSystemd) {
  console.log(`\n${architecture}, ${hasSystemd ? 'under systemd' : 'without systemd'}`);
  const machine = new Machine(architecture, hasSystemd);
  /** Emulation is slower than any machine: there it is only told. */
  const isEmulated = architecture !== execFileSync('dpkg', ['--print-architecture'], { encoding: 'utf8' }).trim();
  const file = (which) => `/root/duskhand_${which}_${architecture}.deb`;
  for (const which of [version, NEXT])
    machine.put(join(debs, `duskhand_${which}_${architecture}.deb`), `duskhand_${which}_${architecture}.deb`);
  try {
    await machine.boot();
    const hands = handsOn(machine);
    const light = () => machine.heard.at(-1)?.slots.join();
    const packet = (after = machine.heard.length) => until('packet on the wire', () => machine.heard.length > after);
    const answers = () => until('answer to commands', () => machine.asks('play/status') !== undefined);
    /** What went over the wire while something was done: the longest silence, goodbyes, other light. */
    const watched = async (what, act) => {
      await packet();
      const before = light();
      const from = machine.heard.length;
      await act();
      await answers();
      await packet();
      const packets = machine.heard.slice(from - 1);
      const silence = Math.round(Math.max(...packets.slice(1).map(({ at }, i) => at - packets[i].at)));
      if (isEmulated) console.log(`     ${what}: silent for ${silence} ms, emulated`);
      else check(`${what}: silent for less than ${DATA_LOSS} ms`, silence < DATA_LOSS, `${silence} ms`);
      check(
        `${what}: no goodbye on the wire`,
        packets.every(({ ends }) => !ends),
      );
      check(
        `${what}: the same light`,
        packets.every(({ slots }) => slots.join() === before),
      );
    };

    machine.does(`dpkg -i ${file(version)}`);
    hands.run?.();
    await packet(0);
    check('installed, it plays', hands.isPlaying());
    await answers();
    check('its user is its own', machine.does(`stat -c %U /proc/${hands.pid()}`).trim() === 'duskhand');
    if (hasSystemd) {
      check('systemd knows that it is ready', machine.does('systemctl show -P SubState duskhand').trim() === 'running');
      check('its status is a line', /^Playing "/.test(machine.does('systemctl show -P StatusText duskhand')));
      const began = (which) => Number(machine.does(`systemctl show -P ${which} duskhand`)) / 1000;
      console.log(
        `     ready ${Math.round(began('ActiveEnterTimestampMonotonic') - began('ExecMainStartTimestampMonotonic'))} ms after exec`,
      );
    }
    if (isEmulated) machine.asks('play/command', { do: 'press', button: BUTTON });
    else machine.does(`duskhand press "${BUTTON}"`);
    await until('light that stands still', async () => {
      const before = light();
      const from = machine.heard.at(-1)?.at ?? 0;
      await until('two more seconds', () => (machine.heard.at(-1)?.at ?? 0) - from > 2000);
      return before === light();
    });

    await watched('kill -9', async () => {
      const before = hands.pid();
      await (hasSystemd ? machine.does(`kill -9 ${before}`) : hands.comesBack('KILL'));
      await until('another process', () => hands.pid() !== before && hands.pid() !== '0');
    });
    for (const [what, which] of [
      ['upgrade', NEXT],
      ['downgrade', version],
    ]) {
      await watched(what, async () => {
        const before = hands.pid();
        machine.does(`dpkg -i ${file(which)}`);
        await hands.comesBack('USR2');
        await until('another process', () => hands.pid() !== before && hands.pid() !== '0');
      });
      check(`${what}: it is version ${which}`, JSON.parse(machine.asks('play/status')).node.version === which);
    }
    if (hasSystemd) {
      const before = hands.pid();
      machine.does(`kill -STOP ${before}`);
      await until('restart by the watchdog', () => hands.pid() !== before && hands.pid() !== '0');
      await packet();
      check('hung, it is started again by the watchdog', machine.does('journalctl -u duskhand').includes('Watchdog timeout'));
      await answers();
    }
    const from = machine.heard.length;
    await hands.leaves();
    machine.does('dpkg -r duskhand');
    await until('goodbye on the wire', () => machine.heard.slice(from).some(({ ends }) => ends));
    check('removed, it has taken leave', !hands.isPlaying());
    check('removed, its shows are there', machine.tries('test -s /var/lib/duskhand/duskhand.sqlite'));
    machine.does('dpkg -P duskhand');
    check('purged, its shows are there still', machine.tries('test -s /var/lib/duskhand/duskhand.sqlite'));
    machine.does(`dpkg -i ${file(version)}`);
    if (hasSystemd) await until('node', () => hands.isPlaying());
    if (hasSystemd) machine.does('systemctl stop duskhand');
    machine.does('dpkg -P duskhand', { DUSKHAND_PURGE_SHOWS: 'yes' });
    check('purged with that word, they are gone', machine.tries('test ! -e /var/lib/duskhand'));
  } finally {
    await machine.end();
  }
}

try {
  for (const architecture of asked.length > 0 ? asked : ['amd64', 'arm64']) {
    for (const which of [version, NEXT])
      execFileSync(
        process.execPath,
        [
          fileURLToPath(new URL('../../systemd/package.mjs', import.meta.url)),
          '--arch',
          architecture,
          '--version',
          which,
          '--out',
          debs,
        ],
        { stdio: ['ignore', 'ignore', 'inherit'] },
      );
    await testOn(architecture, architecture === 'amd64');
  }
} finally {
  rmSync(debs, { recursive: true, force: true });
}
console.log(`\n${passed} passed, ${failed} failed`);
process.exitCode = failed === 0 ? 0 : 1;
