import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { generate } from './generate.js'

/**
 * Writes docs/retake.md from a real run: takes 4 and 5 of the demo song, between which a stand was moved. `npx tsx examples/lantern-street/retake.ts`;
 * with `--check` it writes nothing, and ends with 1 where the page says something else.
 */

const root = fileURLToPath(new URL('../../', import.meta.url))
const program = `${root}dist/cli/main.js`
const song = 'examples/lantern-street'
const recipe = `${song}/recipe.yaml`

if (!existsSync(program)) throw new Error('build first: npm run build')
rmSync(`${root}${song}/stems`, { recursive: true, force: true })
rmSync(`${root}${song}/recipe.lock.yaml`, { force: true })
generate(4)
generate(5)

const told = (args: readonly string[], keep: (line: string) => boolean = () => true): string => {
  const done = spawnSync(process.execPath, [program, ...args], {
    cwd: root,
    encoding: 'utf8',
    env: { ...process.env, NO_COLOR: '1', SUMWELL_CACHE: `${root}.cache/retake` },
  })
  const lines = `${done.stdout}${done.status === 0 ? '' : done.stderr}`.trimEnd().split('\n').filter(keep)
  const shown = args.map(arg => arg.replace(`${song}/`, '')).join(' ')
  return `\`\`\`\n$ sumwell ${shown}\n${lines.join('\n').replaceAll(`${song}/`, '')}\n${done.status === 0 ? '' : `(status ${done.status})\n`}\`\`\``
}

rmSync(`${root}.cache/retake`, { recursive: true, force: true })
const stems = (take: number): string => `${song}/stems/lantern_street-take${take}`
const page = `# A re-take

Made from a real run by \`npx tsx examples/lantern-street/retake.ts\`; do not edit by hand. The demo song, "Lantern Street": take 4 is delivered, then a fifth one is
played. Somebody walked past the stand in between: in the sound that is made for take 5 the microphone at the bridge of the bass stands 65.6 cm from
it, where it stood 68 cm: 2.4 cm nearer. Nothing else was moved.

## Take 4

${told(['render', recipe])}

The lock \`recipe.lock.yaml\` now lies beside the recipe, and both are committed. Rendered again, nothing is done:

${told(['render', recipe])}

## Take 5

Take 5 is recorded into \`audio/take-5\`; the recipe says \`audio/take-{take}/…\`. What changed stands first:

${told(['render', recipe, '--take', '5'])}

The balance is that of take 4: the gains that bring microphone and pickup together were not measured anew. The lag was, and the new take lines up.

## What a release sees

Whoever forgets to commit the new lock, or renders the wrong take, hears of it before anything is written:

${told(['render', recipe, '--locked', '--quiet'], line => !line.startsWith('to mend') && line !== '')}

## Any two deliveries

${told(['compare', stems(4), stems(5)])}
`
const path = `${root}docs/retake.md`
if (!process.argv.includes('--check')) writeFileSync(path, page)
else if (readFileSync(path, 'utf8') !== page) {
  process.stderr.write('docs/retake.md is not what a run prints: npx tsx examples/lantern-street/retake.ts\n')
  process.exitCode = 1
}
