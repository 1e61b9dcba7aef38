import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { parse, stringify } from 'yaml'
import { compareTakes } from '../../../src/lock/compare/compare-takes.js'
import { takeOf } from '../../../src/lock/compare/take-before.js'
import { readLock } from '../../../src/lock/file/read-lock.js'
import { comparedText } from '../../../src/report/terminal/compared-lines.js'
import { judged, playground } from '../judge.js'
import { mutatedBytes } from '../mutate-bytes.js'
import { mutatedJson } from '../mutate-json.js'
import { smallSong } from '../small-song.js'
import type { Target } from '../target.js'

const WORDS = [
  'null',
  '~',
  '{ ',
  ' }',
  '[',
  ']',
  ': ',
  '\n',
  '&a ',
  '*a',
  '!x ',
  '? ',
  '<<: ',
  '1e400',
  '.inf',
  '.nan',
  '__proto__: 1\n',
  'constructor: 1\n',
  '<<<<<<< ours\n',
  '=======\n',
  '>>>>>>> theirs\n',
]

/** A lock that somebody changed or merged: read, compared, and decided from. */
export const lockTarget = async (): Promise<Target> => {
  const ground = playground()
  const file = join(ground.folder, 'recipe.lock.yaml')
  const song = await smallSong(ground.folder)
  const seed = Buffer.from(song.lock)
  const value: unknown = parse(song.lock)
  writeFileSync(file, seed)
  const former = takeOf(readLock(file, file))
  return {
    name: 'lock',
    ending: 'yaml',
    share: 0.1,
    make: chance =>
      chance.once(3)
        ? mutatedBytes(seed, chance, {
            within: 1e9,
            words: WORDS,
            others: [seed],
            mostChanges: chance.pick([1, 1, 2, 6]),
            mostBytes: 50_000,
          })
        : Buffer.from(stringify(mutatedJson(value, chance, chance.pick([1, 1, 1, 3])))),
    try: async input => {
      writeFileSync(file, input)
      const verdict = await judged(async () => {
        const lock = readLock(file, file)
        for (const [old, now] of [
          [former, takeOf(lock)],
          [takeOf(lock), former],
        ] as const)
          comparedText(compareTakes(old, now), 'song', { columns: 80, colour: false })
        await song.decideFrom(lock)
      })
      ground.expectOnly(['recipe.lock.yaml', 'recipe.yaml', 'audio'])
      return verdict
    },
    close: ground.remove,
  }
}
