import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['test/**/*.test.ts'],
    // The real-time rig tests measure motion against the rig clock: more workers than cores would only make them wait.
    maxWorkers: 2,
    testTimeout: 20_000,
    retry: 0,
  },
});
