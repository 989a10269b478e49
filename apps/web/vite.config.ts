import path from 'node:path';
import react from '@vitejs/plugin-react';
import { defineConfig, type Plugin, type Rolldown } from 'vite';

// whatever runs the build, and a test runner sets its own, the page is a production page
process.env.NODE_ENV = 'production';

/**
 * Lays into the page, for `first-page.ts`, of each later page the scripts that the first load does not have; and that script before all
 * others.
 */
const pageScripts: Plugin = {
  name: 'page-scripts',
  transformIndexHtml: {
    order: 'post',
    handler(html, { bundle = {}, chunk: entry }) {
      const chunks = Object.values(bundle).filter((each) => each.type === 'chunk');
      const reached = (from: Rolldown.OutputChunk, into = new Set<string>()): Set<string> => {
        if (into.has(from.fileName)) return into;
        into.add(from.fileName);
        for (const each of chunks) if (from.imports.includes(each.fileName)) reached(each, into);
        return into;
      };
      const first = entry === undefined ? new Set<string>() : reached(entry);
      const scripts = Object.fromEntries(
        chunks.flatMap((chunk) => {
          const page = /\/pages\/(\w+)\.tsx$/.exec(chunk.facadeModuleId ?? '')?.[1];
          const own = [...reached(chunk)].filter((name) => !first.has(name));
          return page === undefined ? [] : [[page, own.map((name) => `/${name}`)]];
        }),
      );
      const starter = chunks.find(({ name }) => name === 'first-page');
      if (starter === undefined) return html;
      return html.replace(
        '<script type="module"',
        `<script type="application/json" id="page-scripts">${JSON.stringify(scripts)}</script>
    <script type="module" crossorigin src="/${starter.fileName}"></script>
    <script type="module"`,
      );
    },
  },
};

export default defineConfig({
  root: import.meta.dirname,
  plugins: [react(), pageScripts],
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
        'first-page': path.join(import.meta.dirname, 'first-page.ts'),
        'ledger-worker': path.join(import.meta.dirname, 'design/ledger-worker.ts'),
        'map-worker': path.join(import.meta.dirname, 'control/map-worker.ts'),
        'walk-worker': path.join(import.meta.dirname, 'walk/walk-worker.ts'),
        'long-worker': path.join(import.meta.dirname, 'walk/long-worker.ts'),
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
