/**
 * Writes examples/lantern-street/checksums.txt anew: SHA-256 of the demo's recordings and of the stems that a render makes of them. A test holds
 * every machine to that list. Run it (`npm run demo:sums`, after a build) where a change of method or sound is meant; look at which lines change.
 */
import { spawnSync } from 'node:child_process'
import { cpSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { generate } from '../examples/lantern-street/generate.js'
import { checksumText } from '../src/render/checksum-list.js'
import { sha256OfFile } from '../src/wave/hash.js'

const example = 'examples/lantern-street'
const { folder: audio } = generate()
const folder = mkdtempSync(join(tmpdir(), 'sumwell-sums-'))
try {
  for (const name of ['recipe.yaml', 'audio'])
    cpSync(join(example, name), join(folder, name), { recursive: true })
  const done = spawnSync(
    process.execPath,
    ['dist/cli/main.js', 'render', join(folder, 'recipe.yaml'), '--no-audio', '--quiet'],
    {
      stdio: 'inherit',
      env: { ...process.env, XDG_CACHE_HOME: join(folder, 'cache') },
    },
  )
  if (done.status !== 0) throw new Error('the demo cannot be rendered')
  const sumsIn = (place: string): (readonly [string, string])[] =>
    readdirSync(place)
      .filter(name => name.endsWith('.wav'))
      .map(name => [name, sha256OfFile(join(place, name))] as const)
  const sums = new Map([...sumsIn(audio), ...sumsIn(join(folder, 'stems/lantern_street-take4'))])
  writeFileSync(join(example, 'checksums.txt'), checksumText(sums))
} finally {
  rmSync(folder, { recursive: true, force: true })
}
