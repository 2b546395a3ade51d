import { existsSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';

/** What only an installation from source needs: prebuild-install fetches a build of better-sqlite3 where one is offered. */
const AT_INSTALLATION = new Set(['prebuild-install']);
/** Nobody reads these at run time; licences stay. */
const NOT_RUN =
  /(\.map|\.d\.[cm]?ts|\.[cm]?ts|\.md|\.markdown|\.flow|\.yml|\.tgz|\.gypi?|\.s?html|\.coffee)$|^(\.\w.*|tsconfig.*\.json|Makefile|.*\.mk)$/i;
const IS_LICENCE = /^(licen[cs]e|copying|notice)/i;
const NOT_RUN_FOLDERS = new Set(['test', 'tests', 'example', 'examples', 'doc', 'docs', 'benchmark', 'coverage', 'man', '.github']);

export const readJson = (file) => JSON.parse(readFileSync(file, 'utf8'));

/** Packages in `folder`/node_modules and nested ones, as their paths. */
function packagesIn(folder) {
  const modules = join(folder, 'node_modules');
  if (!existsSync(modules)) return [];
  const names = readdirSync(modules)
    .filter((name) => !name.startsWith('.'))
    .flatMap((name) => (name.startsWith('@') ? readdirSync(join(modules, name)).map((inner) => `${name}/${inner}`) : [name]));
  return names.map((name) => join(modules, name)).flatMap((path) => [path, ...packagesIn(path)]);
}

/** Where `name` is found from a package, as Node.js looks for it. */
function found(root, from, name) {
  for (let folder = from; folder.startsWith(root); folder = join(folder, '..')) {
    const path = join(folder, 'node_modules', name);
    if (existsSync(path)) return path;
  }
  return undefined;
}

/** Takes out of an installed tree what no running node loads. @returns the paths of the packages that stay. */
export function thin(root) {
  const kept = new Set();
  const follow = (from) => {
    for (const name of Object.keys(readJson(join(from, 'package.json')).dependencies ?? {})) {
      const path = AT_INSTALLATION.has(name) ? undefined : found(root, from, name);
      if (path === undefined || kept.has(path)) continue;
      kept.add(path);
      follow(path);
    }
  };
  follow(root);
  for (const path of packagesIn(root))
    if (![...kept].some((one) => one === path || one.startsWith(`${path}/node_modules/`)))
      rmSync(path, { recursive: true, force: true });
  for (const path of ['deps', 'src', 'build', 'binding.gyp'])
    rmSync(join(root, 'node_modules/better-sqlite3', path), { recursive: true, force: true });
  rmSync(join(root, 'node_modules/zod/src'), { recursive: true, force: true });
  rmSync(join(root, 'node_modules/.bin'), { recursive: true, force: true });
  rmSync(join(root, 'node_modules/.package-lock.json'), { force: true });
  for (const path of kept) thinFolder(path);
  return [...kept].sort();
}

function thinFolder(folder) {
  for (const name of readdirSync(folder)) {
    const path = join(folder, name);
    if (statSync(path).isDirectory()) {
      if (NOT_RUN_FOLDERS.has(name)) rmSync(path, { recursive: true });
      else if (name !== 'node_modules') thinFolder(path);
    } else if (NOT_RUN.test(name) && !IS_LICENCE.test(name)) rmSync(path);
  }
}
