import { spawnSync } from 'node:child_process'
import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { generate } from './generate.js'

/** `npm run demo`: makes the audio of the demo song, then does with it what an engineer would: check, measure, render. */

const program = fileURLToPath(new URL('../../dist/cli/main.js', import.meta.url))
const recipe = 'examples/lantern-street/recipe.yaml'

if (!existsSync(program)) {
  process.stderr.write('The program is not built yet: run "npm ci" first.\n')
  process.exitCode = 1
} else {
  const made = generate()
  process.stdout.write(
    `Made ${made.files} recordings of ${made.seconds.toFixed(1)} s: examples/lantern-street/audio/take-4\n`,
  )
  for (const command of ['check', 'measure', 'render']) {
    process.stdout.write(`\n$ sumwell ${command} ${recipe}\n`)
    const done = spawnSync(process.execPath, [program, command, recipe], { stdio: 'inherit' })
    if (done.status !== 0) {
      process.exitCode = done.status ?? 1
      break
    }
  }
}
