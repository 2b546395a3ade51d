import { execFileSync, spawn } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

const here = fileURLToPath(new URL('./', import.meta.url));
const cache = fileURLToPath(new URL('../../node_modules/.cache/duskhand/', import.meta.url));
const PACKAGES = 'nodejs,systemd,systemd-sysv,dbus,iproute2';
const SUITE = 'trixie';
const PATIENCE = 180_000;

/** Asks again and again until there is an answer. */
export async function until(what, ask, within = PATIENCE) {
  for (const last = performance.now() + within; ; ) {
    const answer = await ask();
    if (answer) return answer;
    if (performance.now() > last) throw new Error(`After ${within / 1000} s there is still no ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

/** A fresh Debian of a kind of machine, from the mirror that this machine uses itself; made once, kept for the next time. */
function freshRoot(architecture) {
  const root = join(cache, `${SUITE}-${architecture}`);
  if (!existsSync(join(root, 'usr/bin/node'))) {
    mkdirSync(cache, { recursive: true });
    rmSync(root, { recursive: true, force: true });
    const mirror = /^(?:URIs:|deb (?:\[.*\] )?)\s*(\S+)/m.exec(
      execFileSync('sh', ['-c', 'cat /etc/apt/sources.list.d/debian.sources /etc/apt/sources.list 2>/dev/null'], {
        encoding: 'utf8',
      }),
    )?.[1];
    execFileSync(
      'debootstrap',
      [
        `--arch=${architecture}`,
        '--variant=minbase',
        `--include=${PACKAGES}`,
        SUITE,
        root,
        ...(mirror === undefined ? [] : [mirror]),
      ],
      { stdio: ['ignore', 'ignore', 'inherit'] },
    );
  }
  return root;
}

/** A machine of our own: a Debian root in namespaces, with systemd as its first process or with nothing but what is started in it. */
export class Machine {
  heard = [];
  #folder = mkdtempSync(join(tmpdir(), 'duskhand-pi-'));
  #cgroup = `/sys/fs/cgroup/${existsSync('/sys/fs/cgroup/unified') ? 'unified/' : ''}duskhand-pi-${process.pid}`;
  #children = [];
  #pid;

  constructor(architecture, hasSystemd) {
    this.hasSystemd = hasSystemd;
    this.root = join(this.#folder, 'root');
    execFileSync('cp', ['-a', freshRoot(architecture), this.root]);
    mkdirSync(this.#cgroup, { recursive: true });
  }

  async boot() {
    const init = this.hasSystemd ? ['/sbin/init', '--log-level=err'] : ['sleep', 'infinity'];
    const inside = [
      '--cgroup',
      '--mount',
      '--pid',
      '--net',
      '--uts',
      '--ipc',
      '--fork',
      '--kill-child',
      'sh',
      join(here, 'boot.sh'),
      this.root,
      ...init,
    ];
    const child = spawn('sh', ['-c', `echo $$ > ${this.#cgroup}/cgroup.procs; exec unshare "$@"`, 'sh', ...inside], {
      stdio: ['ignore', 'ignore', 'inherit'],
    });
    this.#children.push(child);
    const childOf = () => {
      try {
        return readFileSync(`/proc/${child.pid}/task/${child.pid}/children`, 'utf8').trim();
      } catch {
        return '';
      }
    };
    this.#pid = await until('first process', childOf);
    await until('machine that answers', () =>
      this.tries(this.hasSystemd ? 'systemctl is-active multi-user.target' : 'test -e /run/is-ours -a ! -d /.old/proc'),
    );
    const ears = spawn('nsenter', ['-t', this.#pid, '-n', process.execPath, join(here, 'hear.mjs')], {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    this.#children.push(ears);
    createInterface(ears.stdout).on('line', (line) => this.heard.push(JSON.parse(line)));
  }

  /** Runs a line of shell in it. @returns what it printed; throws when it fails */
  does(line, environment = {}) {
    return execFileSync(
      'nsenter',
      [
        '-t',
        this.#pid,
        '-a',
        'env',
        '-i',
        'PATH=/usr/sbin:/usr/bin:/sbin:/bin',
        ...Object.entries(environment).map(([name, value]) => `${name}=${value}`),
        'sh',
        '-ec',
        line,
      ],
      { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] },
    );
  }

  tries(line) {
    try {
      this.does(line);
      return true;
    } catch {
      return false;
    }
  }

  /** Asks its node by the interface of the command line, from here: an emulated one takes a minute to start. @returns undefined when nobody answers */
  asks(path, body) {
    const words = [
      join(here, 'ask.mjs'),
      join(this.root, 'var/lib/duskhand/node.json'),
      path,
      ...(body === undefined ? [] : [JSON.stringify(body)]),
    ];
    try {
      return execFileSync('nsenter', ['-t', this.#pid, '-n', process.execPath, ...words], {
        encoding: 'utf8',
        stdio: ['ignore', 'pipe', 'ignore'],
      });
    } catch {
      return undefined;
    }
  }

  /** Starts something that goes on. */
  starts(line) {
    const child = spawn('nsenter', ['-t', this.#pid, '-a', 'env', '-i', 'PATH=/usr/sbin:/usr/bin:/sbin:/bin', 'sh', '-ec', line], {
      stdio: 'ignore',
    });
    this.#children.push(child);
  }

  put(file, name) {
    cpSync(file, join(this.root, 'root', name));
  }

  write(path, text) {
    writeFileSync(join(this.root, path), text);
  }

  async end() {
    const [init, ...others] = this.#children;
    for (const child of others) child.kill('SIGKILL');
    if (init !== undefined && init.exitCode === null) {
      const ended = new Promise((resolve) => init.once('exit', resolve));
      init.kill('SIGKILL');
      await ended;
    }
    rmSync(this.#folder, { recursive: true, force: true });
    try {
      execFileSync('find', [this.#cgroup, '-depth', '-type', 'd', '-exec', 'rmdir', '{}', ';'], { stdio: 'ignore' });
      if (existsSync(this.#cgroup)) rmdirSync(this.#cgroup);
    } catch {
      // The kernel lets go of it when the last process has gone.
    }
  }
}
