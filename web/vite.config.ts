import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vite';

// The build is committed, so it must come out the same byte for byte wherever it is made: names from content hashes,
// no source maps (they hold paths), no data: addresses (the Content-Security-Policy refuses them for styles and faces).
export default defineConfig({
  base: './',
  plugins: [svelte({ compilerOptions: { runes: true } })],
  build: {
    target: 'es2021',
    sourcemap: false,
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    cssCodeSplit: true,
    chunkSizeWarningLimit: 200,
    rollupOptions: {
      output: {
        entryFileNames: 'assets/[name]-[hash].js',
        chunkFileNames: 'assets/[name]-[hash].js',
        assetFileNames: 'assets/[name]-[hash][extname]',
      },
    },
  },
  server: { proxy: { '/api': 'http://127.0.0.1:8093' } },
});
