import type { BlendTone, Semitone, ToneCurve } from '../../../src/tone/tone.js'

/** One path of a blend: amplitude, lag and polarity before, what is left of the lag after. */
export interface TonePath {
  readonly gain: number
  readonly lagMs: number
  readonly inverted: boolean
  readonly leftMs: number
}

const NOTES = ['C', 'C♯', 'D', 'D♯', 'E', 'F', 'F♯', 'G', 'G♯', 'A', 'A♯', 'B']

/** Loss of design §2 for paths of fully common sound. */
const lossAt = (hz: number, paths: readonly TonePath[], after: boolean): number => {
  let common = 0
  let sum = 0
  for (const a of paths) {
    for (const b of paths) {
      const between = after ? a.leftMs - b.leftMs : a.lagMs - b.lagMs
      const sign = after || a.inverted === b.inverted ? 1 : -1
      common += a.gain * b.gain
      sum += sign * a.gain * b.gain * Math.cos(2 * Math.PI * hz * (between / 1000))
    }
  }
  return 10 * Math.log10(common / Math.max(sum, common * 1e-4))
}

const curve = (
  hz: readonly number[],
  paths: readonly TonePath[],
  after: boolean,
  lowHz: number,
): ToneCurve => ({
  lossDb: hz.map(f => (f < lowHz || f > 14000 ? null : lossAt(f, paths, after))),
  levelDb: hz.map(f => (f < lowHz || f > 14000 ? null : -6 * Math.log2(Math.max(1, f / 120)))),
})

const deviation = (semitones: readonly Semitone[], of: (s: Semitone) => number): number => {
  const mean = semitones.reduce((sum, s) => sum + s.energyShare * of(s), 0)
  return Math.sqrt(semitones.reduce((sum, s) => sum + s.energyShare * (of(s) - mean) ** 2, 0))
}

const semitonesOf = (paths: readonly TonePath[], midis: readonly number[]): readonly Semitone[] => {
  const weights = midis.map((midi, i) => (2 + ((midi * 7) % 5)) / (1 + 0.12 * i))
  const all = weights.reduce((a, b) => a + b, 0)
  return midis.map((midi, i) => {
    const frequencyHz = 440 * 2 ** ((midi - 69) / 12)
    return {
      midi,
      name: `${NOTES[midi % 12] ?? ''}${Math.floor(midi / 12) - 1}`,
      frequencyHz,
      energyShare: (weights[i] ?? 0) / all,
      lossBeforeDb: lossAt(frequencyHz, paths, false),
      lossAfterDb: lossAt(frequencyHz, paths, true),
      soundsAtSeconds: [1 + 0.5 * i, 5.5 + 0.5 * i],
    }
  })
}

const firstNotch = (hz: readonly number[], loss: readonly (number | null)[]): number | null => {
  for (let i = 1; i < hz.length - 1; i++) {
    const [left, value, right] = [loss[i - 1] ?? null, loss[i] ?? 0, loss[i + 1] ?? null]
    if (left !== null && right !== null && value > 6 && value >= left && value >= right) return hz[i] ?? null
  }
  return null
}

/** The tone of a blend of ideal paths: real comb filters, so that charts look as they will. */
export const inventedTone = (
  group: string,
  blend: string,
  paths: readonly TonePath[],
  midis: readonly number[],
  lowHz: number,
  words: string,
): BlendTone => {
  const frequenciesHz = Array.from({ length: 2400 }, (_, i) => 20 * 1000 ** (i / 2399))
  const before = curve(frequenciesHz, paths, false, lowHz)
  const after = curve(frequenciesHz, paths, true, lowHz)
  const semitones = semitonesOf(paths, midis)
  return {
    blend,
    group,
    frequenciesHz,
    before,
    after,
    semitones,
    evennessBeforeDb: midis.length === 0 ? null : deviation(semitones, s => s.lossBeforeDb ?? 0),
    evennessAfterDb: midis.length === 0 ? null : deviation(semitones, s => s.lossAfterDb ?? 0),
    firstNotchBeforeHz: firstNotch(frequenciesHz, before.lossDb),
    firstNotchAfterHz: firstNotch(frequenciesHz, after.lossDb),
    broadbandChangeDb: 2.3,
    bands: [
      { name: 'low end', fromHz: 60, toHz: 250, changeDb: 4.1 },
      { name: 'middle', fromHz: 250, toHz: 2000, changeDb: 1.2 },
      { name: 'top', fromHz: 2000, toHz: 10000, changeDb: 0.3 },
    ],
    words,
    check: {
      thirdOctaves: Array.from({ length: 24 }, (_, i) => {
        const predictedDb = -1.5 * Math.abs(i - 5)
        const differenceDb = 0.03 * Math.sin(i * 2.1)
        return {
          centreHz: 1000 * 10 ** ((i - 14) / 10),
          predictedDb,
          measuredDb: predictedDb + differenceDb,
          differenceDb,
          judged: i < 22,
        }
      }),
      worstDifferenceDb: 0.03,
      bandsJudged: 22,
    },
  }
}
