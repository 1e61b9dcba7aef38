import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: {
    include: ['test/**/*.test.ts'],
    globalSetup: 'test/global-setup.ts',
    // For tests that hang, not for slow machines: the longest takes half a minute when nothing else runs.
    testTimeout: 240_000,
    hookTimeout: 240_000,
    pool: 'forks',
    // Every processor; one would be left free otherwise, which is half of two.
    maxWorkers: '100%',
  },
})
