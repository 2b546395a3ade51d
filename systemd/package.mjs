// npm run package [-- --arch amd64|arm64] [--version VERSION] [--out FOLDER]: the Debian package, of both kinds of machine unless one is named.
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  chmodSync,
  copyFileSync,
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { gzipSync } from 'node:zlib';
import { copyrightOf } from './copyright.mjs';
import { nativeFor } from './native.mjs';
import { readJson, thin } from './tree.mjs';

const root = fileURLToPath(new URL('../', import.meta.url));
const debian = join(root, 'systemd/debian');
const { values } = parseArgs({
  options: { arch: { type: 'string' }, version: { type: 'string' }, out: { type: 'string', default: join(root, 'dist') } },
});
const version = values.version ?? readJson(join(root, 'package.json')).version;
const architectures = values.arch === undefined ? ['amd64', 'arm64'] : [values.arch];
const run = (program, words, options = {}) => execFileSync(program, words, { stdio: ['ignore', 'inherit', 'inherit'], ...options });

/** Files of a folder and those below, as paths. */
const filesIn = (folder) =>
  readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((one) => one.isFile())
    .map((one) => join(one.parentPath, one.name));

/** When the source was last changed: so that the same source gives the same package. */
const changed = new Date(Number(execFileSync('git', ['log', '-1', '--format=%ct'], { cwd: root, encoding: 'utf8' })) * 1000);

const staged = mkdtempSync(join(tmpdir(), 'duskhand-package-'));
process.once('exit', () => rmSync(staged, { recursive: true, force: true }));

/** What is the same on every machine. */
const common = join(staged, 'common');
mkdirSync(common);
for (const name of ['package.json', 'package-lock.json']) copyFileSync(join(root, name), join(common, name));
run('npm', ['ci', '--omit=dev', '--ignore-scripts', '--no-audit', '--no-fund', '--silent'], { cwd: common });
const packages = thin(common);
const copyright = copyrightOf(root, common, packages);
rmSync(join(common, 'package-lock.json'));
writeFileSync(
  join(common, 'package.json'),
  `${JSON.stringify({ ...readJson(join(common, 'package.json')), version, devDependencies: undefined, scripts: undefined }, null, 2)}\n`,
);
cpSync(join(root, 'shows'), join(common, 'shows'), { recursive: true });
for (const part of ['node', 'ui']) cpSync(join(root, 'dist', part), join(common, 'dist', part), { recursive: true });

for (const architecture of architectures) {
  const tree = join(staged, architecture);
  const put = (path, content, mode = 0o644) => {
    mkdirSync(dirname(join(tree, path)), { recursive: true });
    writeFileSync(join(tree, path), content, { mode });
    chmodSync(join(tree, path), mode);
  };
  const filled = (name, more = {}) => {
    const values = { VERSION: version, ARCHITECTURE: architecture, DATE: changed.toUTCString().replace('GMT', '+0000'), ...more };
    return readFileSync(join(debian, name), 'utf8').replace(/@([A-Z_]+)@/g, (whole, key) => values[key] ?? whole);
  };
  const program = join(tree, 'usr/lib/duskhand');
  mkdirSync(dirname(program), { recursive: true });
  cpSync(common, program, { recursive: true });
  put('usr/lib/duskhand/node_modules/better-sqlite3/build/Release/better_sqlite3.node', readFileSync(nativeFor(architecture)));
  put('usr/bin/duskhand', readFileSync(join(debian, 'duskhand')), 0o755);
  put('usr/lib/systemd/system/duskhand.service', readFileSync(join(root, 'systemd/duskhand.service')));
  put('usr/lib/sysusers.d/duskhand.conf', readFileSync(join(debian, 'duskhand.sysusers')));
  put('etc/default/duskhand', readFileSync(join(debian, 'default')));
  put('usr/share/doc/duskhand/copyright', copyright);
  put('usr/share/doc/duskhand/README.md', readFileSync(join(root, 'README.md')));
  put('usr/share/doc/duskhand/changelog.gz', gzipSync(filled('changelog'), { level: 9 }));
  put('usr/share/man/man1/duskhand.1.gz', gzipSync(filled('duskhand.1'), { level: 9 }));
  put('usr/share/lintian/overrides/duskhand', readFileSync(join(debian, 'lintian-overrides')));
  for (const file of filesIn(program)) chmodSync(file, readFileSync(file).subarray(0, 2).toString() === '#!' ? 0o755 : 0o644);

  const files = filesIn(tree).sort();
  const size = Math.ceil(files.reduce((sum, file) => sum + statSync(file).size, 0) / 1024);
  const sums = files
    .filter((file) => !file.startsWith(join(tree, 'etc')))
    .map((file) => `${createHash('md5').update(readFileSync(file)).digest('hex')}  ${relative(tree, file)}\n`);
  const nextNode = Number(process.versions.node.split('.')[0]) + 1;
  put('DEBIAN/control', filled('control', { SIZE: size, NEXT_NODE: nextNode }));
  put('DEBIAN/conffiles', '/etc/default/duskhand\n');
  put('DEBIAN/md5sums', sums.join(''));
  for (const script of ['postinst', 'prerm', 'postrm']) put(`DEBIAN/${script}`, readFileSync(join(debian, script)), 0o755);
  if (!existsSync(values.out)) mkdirSync(values.out, { recursive: true });
  const file = join(values.out, `duskhand_${version}_${architecture}.deb`);
  run('chmod', ['-R', 'u=rwX,go=rX', tree]);
  run('dpkg-deb', ['--root-owner-group', '-Zxz', '--build', tree, file], {
    env: { ...process.env, SOURCE_DATE_EPOCH: String(changed.getTime() / 1000) },
  });
}
