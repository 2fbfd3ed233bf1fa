// Builds dist/: main, the lazily loaded 3D view, fonts.css and the two fonts; build.rs embeds them.
import { defineConfig } from 'vite';

/** htmx keeps an `eval` for features that our pages' policy forbids; it doesn't even travel. */
const withoutEval = {
  name: 'htmx-without-eval',
  transform(code, id) {
    if (!id.includes('/htmx.org/')) return null;
    const line = 'return eval(str)';
    if (code.split(line).length !== 2) this.error('htmx has no single `return eval(str)` any more: look again');
    return { code: code.replace(line, 'throw new Error(str)'), map: null };
  },
};

/** The service worker: one file by itself, under a name that stays. */
const worker = {
  base: '/assets/',
  publicDir: false,
  build: {
    target: 'es2022',
    outDir: 'dist',
    emptyOutDir: false,
    reportCompressedSize: false,
    rolldownOptions: {
      input: { worker: 'src/worker.ts' },
      output: { format: 'iife', entryFileNames: '[name].js' },
    },
  },
};

const pages = {
  plugins: [withoutEval],
  base: '/assets/',
  publicDir: false,
  build: {
    target: 'es2022',
    outDir: 'dist',
    emptyOutDir: true,
    assetsDir: '',
    assetsInlineLimit: 0, // the pages' policy forbids data URIs
    manifest: 'manifest.json',
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
    chunkSizeWarningLimit: 900, // three, loaded only where a part can be turned
    rolldownOptions: {
      input: { main: 'src/main.ts', fonts: 'src/fonts.css' },
      output: {
        entryFileNames: '[name]-[hash].js',
        chunkFileNames: '[name]-[hash].js',
        assetFileNames: '[name]-[hash][extname]',
      },
    },
  },
};

export default defineConfig(({ mode }) => (mode === 'worker' ? worker : pages));
