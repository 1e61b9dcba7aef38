import fc from 'fast-check'
import { expect, test } from 'vitest'
import { songsOfShard } from '../../../src/jobs/album/shard.js'

const songs = fc.uniqueArray(fc.record({ recipe: fc.string(), work: fc.nat(1e9) }), {
  selector: s => s.recipe,
})

test('every song is in one shard and in no other, whatever the order in which they are given', () => {
  fc.assert(
    fc.property(songs, fc.integer({ min: 1, max: 12 }), (all, of) => {
      const parts = Array.from({ length: of }, (_, i) => songsOfShard(all, { number: i + 1, of }))
      expect(
        parts
          .flat()
          .map(s => s.recipe)
          .sort(),
      ).toEqual(all.map(s => s.recipe).sort())
      const turned = [...all].reverse()
      parts.forEach((part, i) => {
        const again = songsOfShard(turned, { number: i + 1, of })
        expect(new Set(again)).toEqual(new Set(part))
      })
    }),
    { seed: 7, numRuns: 300 },
  )
})

// Largest first, each to the least loaded: never more than 4/3 - 1/(3n) of the best division (Graham 1969, SIAM J. Appl. Math. 17).
test('no shard has more than 4/3 of what the best division could give', () => {
  fc.assert(
    fc.property(songs, fc.integer({ min: 1, max: 6 }), (all, of) => {
      const loads = Array.from({ length: of }, (_, i) =>
        songsOfShard(all, { number: i + 1, of }).reduce((sum, s) => sum + Math.max(1, s.work), 0),
      )
      const works = all.map(s => Math.max(1, s.work)).sort((a, b) => b - a)
      const mean = works.reduce((a, b) => a + b, 0) / of
      const least = Math.max(mean, works[0] ?? 0, (works[of - 1] ?? 0) + (works[of] ?? 0))
      expect(Math.max(...loads)).toBeLessThanOrEqual((4 / 3) * least + 1e-6)
    }),
    { seed: 8, numRuns: 300 },
  )
})
