/**
 * What to start a thread with so that `module` runs in it. Built JavaScript starts as it is. TypeScript (tests and benches
 * that run from source) needs a loader in the new thread first: `boot.mjs` registers it and finds the module in the worker data.
 */
export const entryOf = (module: URL): URL =>
  module.pathname.endsWith('.ts') ? new URL('./boot.mjs', import.meta.url) : module
