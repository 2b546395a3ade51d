// Behind the compiler: what a node loads when it starts is put into few files, so that its first frame comes sooner. The modules stay beside them.
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const root = new URL('../dist/node/', import.meta.url);
const entries = ['main', 'engine/thread', 'store/thread', 'monitor/thread', 'api/type-reader-thread'];
/** Of the packages that a node needs only this one is of so many small files that it pays. */
const BUNDLED = /^zod(\/|$)/;

await build({
  entryPoints: entries.map((entry) => fileURLToPath(new URL(`${entry}.js`, root))),
  outdir: fileURLToPath(root),
  outbase: fileURLToPath(root),
  allowOverwrite: true,
  bundle: true,
  splitting: true,
  format: 'esm',
  platform: 'node',
  target: 'node20.19',
  chunkNames: 'bundled-[hash]',
  logLevel: 'warning',
  plugins: [
    {
      name: 'as it lay',
      setup({ onLoad, onResolve }) {
        onResolve({ filter: /^[^./]/ }, ({ path, kind }) =>
          BUNDLED.test(path) || kind === 'entry-point' ? undefined : { path, external: true },
        );
        // Bundles lie at the top: what a module finds beside itself is still beside where it was.
        onLoad({ filter: /\/dist\/node\/.*\.js$/ }, ({ path }) => {
          const from = new URL(`file://${path}`).href.slice(root.href.length);
          const text = readFileSync(path, 'utf8');
          return { contents: text.replaceAll('import.meta.url', `new URL(${JSON.stringify(from)}, import.meta.url)`) };
        });
      },
    },
  ],
});
