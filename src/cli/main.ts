#!/usr/bin/env node
import './engine.js'
import { CommanderError } from 'commander'
import { tool } from '../jobs/tool.js'
import { EXIT } from './exit-status.js'
import { optionsOf } from './options.js'
import { programOf } from './program.js'

// Only the command line's own library is loaded here; each action imports the rest when it is called.
const program = programOf(tool().version, {
  init: async (folder, options) => (await import('./commands/init.js')).init(folder, options),
  check: async (recipes, options) => (await import('./commands/check.js')).check(recipes, optionsOf(options)),
  measure: async (recipes, options) =>
    (await import('./commands/measure.js')).measure(recipes, optionsOf(options)),
  render: async (recipes, options) =>
    (await import('./commands/render.js')).render(recipes, optionsOf(options)),
  compare: async (before, now, options) =>
    (await import('./commands/compare.js')).compare(before, now, optionsOf(options)),
  explore: async (recipe, group, options) =>
    (await import('./commands/explore.js')).explore(recipe, group, options),
  report: async (folders, options) => (await import('./commands/report.js')).report(folders, options),
  verify: async (folders, options) => (await import('./commands/verify.js')).verify(folders, options),
  merge: async (folder, options) => (await import('./commands/merge.js')).merge(folder, optionsOf(options)),
  slate: async (file, options) => (await import('./commands/slate.js')).slate(file, options),
  cache: async options => (await import('./commands/cache.js')).cache(options),
  completion: async (shell, program) => (await import('./commands/completion.js')).completion(shell, program),
  selfcheck: async (folder, options) => (await import('./commands/selfcheck.js')).selfcheck(folder, options),
})

// `sumwell --help | head -1`: a reader that leaves early is no fault.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') process.exitCode = EXIT.failed
})
// The last net: whatever slips through all others is told in words, without a trace of the program's insides.
process.on('uncaughtException', error => {
  process.stderr.write(`INTERNAL  a fault in Sumwell itself: ${error.message}\n`)
  if (process.env['SUMWELL_DEBUG']) process.stderr.write(`${error.stack ?? ''}\n`)
  process.exit(EXIT.failed)
})

try {
  await program.parseAsync()
} catch (error) {
  if (!(error instanceof CommanderError)) throw error
  process.exitCode = error.exitCode === 0 ? EXIT.done : EXIT.usage
}
