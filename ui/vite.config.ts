import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  plugins: [svelte({ configFile: false })],
  base: './',
  build: { outDir: '../src/quincunx/_ui', emptyOutDir: true },
  // `npm run dev` serves the page; the program (`./run open FILE --port 8737`) answers it.
  server: { proxy: { '/api': 'http://127.0.0.1:8737' } },
  resolve: process.env.VITEST ? { conditions: ['browser'] } : undefined,
  test: { environment: 'node', include: ['src/**/*.test.ts'] },
});
