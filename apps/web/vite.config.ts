import path from 'node:path';
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

// whatever runs the build, and a test runner sets its own, the page is a production page
process.env.NODE_ENV = 'production';

export default defineConfig({
  root: import.meta.dirname,
  plugins: [react()],
  resolve: {
    alias: [
      {
        // its modules one by one: of its one built file nothing can be left out
        find: /^ml-matrix$/,
        replacement: path.join(import.meta.dirname, '../../node_modules/ml-matrix/src/index.js'),
      },
    ],
  },
  build: {
    outDir: 'dist',
    emptyOutDir: true,
    // fonts stay files: a data: address would need a hole in the content policy
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    target: 'es2023',
    // served from this machine: the engine whole, in one file that page and worker share
    chunkSizeWarningLimit: 1000,
    rollupOptions: {
      input: {
        index: path.join(import.meta.dirname, 'index.html'),
        'ledger-worker': path.join(import.meta.dirname, 'design/ledger-worker.ts'),
        'map-worker': path.join(import.meta.dirname, 'control/map-worker.ts'),
        'walk-worker': path.join(import.meta.dirname, 'walk/walk-worker.ts'),
        'study-worker': path.join(import.meta.dirname, 'design/study-worker.ts'),
      },
      output: {
        // the page asks for its workers by name
        entryFileNames: ({ name }) =>
          name.endsWith('-worker') ? 'assets/[name].js' : 'assets/[name]-[hash].js',
      },
    },
  },
});
