import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vite';

/** The page for outdoors: one script and one style sheet under plain names, so that they can also be written into a page of their own. */
export default defineConfig({
  root: 'outdoors',
  plugins: [svelte({ configFile: false })],
  base: './',
  build: {
    outDir: '../../src/quincunx/_ui/outdoors',
    emptyOutDir: true,
    modulePreload: false,
    rollupOptions: { output: { inlineDynamicImports: true, entryFileNames: 'page.js', assetFileNames: '[name][extname]' } },
  },
});
