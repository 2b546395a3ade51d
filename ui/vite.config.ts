import { defineConfig } from 'vite';

/** The node serves what comes out of this, from its own origin and under a strict content security policy: nothing is inlined. */
export default defineConfig({
  root: import.meta.dirname,
  esbuild: { jsx: 'automatic', jsxImportSource: 'preact' },
  build: {
    outDir: '../dist/ui',
    emptyOutDir: true,
    target: ['chrome109', 'firefox115', 'safari16'],
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
  server: { proxy: { '/api': 'http://127.0.0.1:8484', '/ws': { target: 'ws://127.0.0.1:8484', ws: true } } },
});
