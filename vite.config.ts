import react from '@vitejs/plugin-react';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  // Relative addresses: the built folder works from any sub-path of any web server.
  base: './',
  plugins: [react()],
  worker: { format: 'es' },
  // The layout engine (elkjs) is one large file, loaded only when the sketch is tidied.
  build: { target: 'es2022', chunkSizeWarningLimit: 2000 },
  test: {
    include: ['src/**/*.test.{ts,tsx}', 'tests/**/*.test.ts'],
    exclude: ['**/node_modules/**', 'tests/e2e/**', 'dist/**'],
    // Tests without a page say so in their first line: // @vitest-environment node
    environment: 'jsdom',
    setupFiles: ['tests/support/setup.ts'],
    // A small machine: as many workers as it has cores, and room for the slow start of a cold cache.
    pool: 'threads',
    maxWorkers: 2,
    testTimeout: 20_000,
    restoreMocks: true,
  },
});
