import { execFileSync } from 'node:child_process';
import { copyFileSync, cpSync, existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { readJson } from './tree.mjs';

/** Names of kinds of machine: Debian's, Node.js's, and the beginning of the GNU tools that make programs for it. */
const machines = { amd64: { node: 'x64', gnu: 'x86_64-linux-gnu' }, arm64: { node: 'arm64', gnu: 'aarch64-linux-gnu' } };
const modules = fileURLToPath(new URL('../node_modules/', import.meta.url));

/**
 * The one compiled module, for the Node.js that runs this (a module fits one major version) and the kind of machine that is asked for. For this
 * machine it is installed already; for another it is compiled here (Debian: g++-aarch64-linux-gnu) and kept for the next time.
 * @returns a path, without debugging symbols
 */
export function nativeFor(architecture) {
  const machine = machines[architecture];
  if (machine === undefined) throw new Error(`--arch must be one of ${Object.keys(machines).join(', ')}`);
  const source = join(modules, 'better-sqlite3');
  const { version } = readJson(join(source, 'package.json'));
  const cache = join(modules, '.cache/duskhand');
  const kept = join(cache, `better-sqlite3-${version}-abi${process.versions.modules}-${architecture}.node`);
  if (existsSync(kept)) return kept;
  mkdirSync(cache, { recursive: true });
  const built = (folder) => join(folder, 'build/Release/better_sqlite3.node');
  const strip = (from) => {
    copyFileSync(from, kept);
    execFileSync(`${machine.gnu}-strip`, ['--strip-unneeded', kept]);
    return kept;
  };
  if (machine.node === process.arch) return strip(built(source));
  const beside = mkdtempSync(join(tmpdir(), 'duskhand-native-'));
  try {
    cpSync(source, beside, { recursive: true, filter: (path) => path !== join(source, 'build') });
    const env = {
      ...process.env,
      CC: `${machine.gnu}-gcc`,
      CXX: `${machine.gnu}-g++`,
      AR: `${machine.gnu}-ar`,
      npm_config_arch: machine.node,
      npm_config_build_from_source: 'true',
    };
    // As the module's own installation does it where no build of it is offered.
    execFileSync('npm', ['run', 'install'], { cwd: beside, env, stdio: 'inherit' });
    return strip(built(beside));
  } finally {
    rmSync(beside, { recursive: true, force: true });
  }
}
