import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { readJson } from './tree.mjs';

/** Packages whose code the web app's build holds; those that the node loads besides are named with it. */
const IN_THE_WEB_APP = ['preact', '@preact/signals', '@preact/signals-core'];
const TYPEFACE = '@fontsource-variable/source-sans-3';

/** A field of many lines: indented, an empty line as a full stop. */
const field = (text) =>
  text
    .trimEnd()
    .split(/\r?\n/)
    .map((line) => ` ${line.trim() === '' ? '.' : line.trimEnd()}`)
    .join('\n');

/** Who holds the rights in a package, as its licence names them; else as its package.json does. */
function holders({ name, author }, text) {
  const named = [...text.matchAll(/^[^\n]*copyright (?:\(c\)|©|\d)[^\n]*$/gim)].map(([line]) =>
    line.replace(/^.*?copyright/i, '').trim(),
  );
  if (named.length > 0) return named.join('\n');
  return (typeof author === 'string' ? author : author?.name) ?? `the authors of ${name}`;
}

function paragraph(path, files, ownText) {
  const manifest = readJson(join(path, 'package.json'));
  const file = readdirSync(path).find((one) => /^(licen[cs]e|copying)/i.test(one));
  const text =
    ownText ?? (file === undefined ? `${manifest.license}, as its package.json says.` : readFileSync(join(path, file), 'utf8'));
  const license = `${manifest.license}-of-${manifest.name.replace('/', '-')}`;
  return `Files: ${files}\nCopyright:\n${field(holders(manifest, text))}\nLicense: ${license}\n${field(text)}`;
}

/**
 * debian/copyright in its machine-readable form 1.0: ours, and every package that comes along, each with its own licence in full.
 * @param packages paths of those in the tree of the program, `program`
 */
export function copyrightOf(root, program, packages) {
  const installed = (name) => join(root, 'node_modules', name);
  const licence = readFileSync(join(root, 'LICENSE'), 'utf8');
  return `${[
    'Format: https://www.debian.org/doc/packaging-manuals/copyright-format/1.0/\nUpstream-Name: duskhand',
    paragraph(root, '*', licence),
    ...IN_THE_WEB_APP.map((name) => paragraph(installed(name), 'usr/lib/duskhand/dist/ui/assets/*.js')),
    paragraph(installed(TYPEFACE), 'usr/lib/duskhand/dist/ui/assets/*.woff2'),
    ...packages.map((path) => paragraph(path, `usr/lib/duskhand/${relative(program, path)}/*`)),
  ].join('\n\n')}\n`;
}
