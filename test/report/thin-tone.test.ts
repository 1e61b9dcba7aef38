import { describe, expect, it } from 'vitest'
import { thinTone } from '../../src/report/build/thin-tone.js'
import { lanternStreet } from './fixture.js'

const whole = lanternStreet.tone[0]!
const deepest = (values: readonly (number | null)[]): number => Math.max(...values.map(value => value ?? 0))

describe('thinTone', () => {
  const thin = thinTone(whole)

  it('keeps a fraction of the points, ascending', () => {
    expect(whole.frequenciesHz.length).toBe(2400)
    expect(thin.frequenciesHz.length).toBeLessThan(1101) // 220 bands, at most 5 points each
    expect(thin.frequenciesHz.length).toBeGreaterThan(400)
    expect([...thin.frequenciesHz].sort((a, b) => a - b)).toEqual(thin.frequenciesHz)
  })

  it('loses no notch: the deepest point of every band stays, to a hundredth of a dB', () => {
    let compared = 0
    for (let band = 0; band < 220; band++) {
      const from = Math.floor((band * 2400) / 220)
      const to = Math.floor(((band + 1) * 2400) / 220)
      const [low, high] = [whole.frequenciesHz[from]! * 0.99995, whole.frequenciesHz[to - 1]! * 1.00005]
      const inBand = thin.before.lossDb.filter(
        (_, i) => thin.frequenciesHz[i]! >= low && thin.frequenciesHz[i]! <= high,
      )
      expect(Math.abs(deepest(inBand) - deepest(whole.before.lossDb.slice(from, to)))).toBeLessThanOrEqual(
        0.0051,
      )
      compared++
    }
    expect(compared).toBe(220)
  })

  it('keeps gaps as gaps', () => {
    expect(thin.before.lossDb[0]).toBeNull()
    expect(thin.before.lossDb.at(-1)).toBeNull()
  })

  it('leaves short curves as they are', () => {
    const short = {
      ...whole,
      frequenciesHz: [100, 200, 400],
      before: { lossDb: [1, null, 3], levelDb: [0, null, -3] },
      after: { lossDb: [0, null, 0], levelDb: [0, null, -3] },
    }
    expect(thinTone(short).before).toEqual(short.before)
  })
})
