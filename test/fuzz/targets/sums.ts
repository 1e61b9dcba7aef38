import { mkdirSync, readdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { readChecksums } from '../../../src/render/checksum-list.js'
import { judged, playground } from '../judge.js'
import { mutatedBytes } from '../mutate-bytes.js'
import type { Target } from '../target.js'

const SEED = Buffer.from(
  ['bass.wav', 'bass_bridge.wav', 'report.json', 'report.html']
    .map((name, i) => `${String(i).repeat(64)}  ${name}\n`)
    .join(''),
)
const WORDS = [
  '..',
  '../',
  '/',
  '\\',
  '\n',
  '\r\n',
  '  ',
  ' *',
  '\0',
  '/etc/passwd',
  'a'.repeat(64),
  '__proto__',
]

/** A list of checksums that somebody changed: what it names lies in the folder itself, nowhere else. */
export const sumsTarget = (): Target => {
  const ground = playground()
  const file = join(ground.folder, 'SHA256SUMS')
  mkdirSync(join(ground.folder, 'deep'))
  return {
    name: 'sums',
    ending: 'txt',
    share: 0.02,
    make: chance =>
      mutatedBytes(SEED, chance, {
        within: 1e9,
        words: WORDS,
        others: [SEED],
        mostChanges: chance.pick([1, 1, 2, 6]),
        mostBytes: 4096,
      }),
    try: async input => {
      writeFileSync(file, input)
      let named = 0
      const verdict = await judged(() => {
        for (const [name, sum] of readChecksums(file) ?? []) {
          named++
          if (name === '.' || name === '..' || /[/\\\0]/.test(name))
            throw new Error(`names ${JSON.stringify(name)}`)
          if (sum.length !== 64) throw new Error(`a sum ${sum}`)
        }
      })
      if (readdirSync(ground.folder).length !== 2) throw new Error('written')
      return named === 0 ? 'refused' : verdict
    },
    close: ground.remove,
  }
}
