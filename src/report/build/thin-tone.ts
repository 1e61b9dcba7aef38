import type { BlendTone, ToneCheck, ToneCurve } from '../../tone/tone.js'

/** Bands of frequency per curve: about one per two pixels of a wide chart. */
const BANDS = 220

const HUNDREDTH = 100

const rounded = (db: number | null): number | null =>
  db === null ? null : Math.round(db * HUNDREDTH) / HUNDREDTH

/** The indices of the least and the largest value of a stretch; none where all are null. */
const extremes = (values: readonly (number | null)[], from: number, to: number): number[] => {
  let low = -1
  let high = -1
  for (let i = from; i < to; i++) {
    const value = values[i]
    if (value === null || value === undefined) continue
    if (low < 0 || value < (values[low] ?? 0)) low = i
    if (high < 0 || value > (values[high] ?? 0)) high = i
  }
  return low < 0 ? [] : [low, high]
}

/**
 * Frequencies to keep: per band the ones with the least and the largest loss, before and after, so that no notch and no peak is lost,
 * and the first of the band, so that gaps stay gaps. Ascending. Every index where there are few.
 */
export const keptIndices = (tone: BlendTone): readonly number[] => {
  const count = tone.frequenciesHz.length
  const bands = Math.min(BANDS, count)
  const kept = new Set<number>()
  for (let band = 0; band < bands; band++) {
    const from = Math.floor((band * count) / bands)
    const to = Math.floor(((band + 1) * count) / bands)
    kept.add(from)
    for (const curve of [tone.before.lossDb, tone.after.lossDb]) {
      for (const index of extremes(curve, from, to)) kept.add(index)
    }
  }
  return [...kept].sort((a, b) => a - b)
}

const thinCurve = (curve: ToneCurve, kept: readonly number[]): ToneCurve => ({
  lossDb: kept.map(i => rounded(curve.lossDb[i] ?? null)),
  levelDb: kept.map(i => rounded(curve.levelDb[i] ?? null)),
})

const checkOf = (check: ToneCheck): ToneCheck => ({
  thirdOctaves: check.thirdOctaves.map(band => ({
    centreHz: band.centreHz,
    predictedDb: band.predictedDb,
    measuredDb: band.measuredDb,
    differenceDb: band.differenceDb,
    judged: band.judged,
  })),
  worstDifferenceDb: check.worstDifferenceDb,
  bandsJudged: check.bandsJudged,
})

/** The tone of a blend as it stands in the report: curves thinned and in hundredths of a dB, fields in their fixed order. */
export const thinTone = (tone: BlendTone): BlendTone => {
  const kept = keptIndices(tone)
  return {
    blend: tone.blend,
    group: tone.group,
    frequenciesHz: kept.map(i => Number((tone.frequenciesHz[i] ?? 0).toPrecision(5))),
    before: thinCurve(tone.before, kept),
    after: thinCurve(tone.after, kept),
    semitones: tone.semitones.map(semitone => ({
      midi: semitone.midi,
      name: semitone.name,
      frequencyHz: semitone.frequencyHz,
      energyShare: semitone.energyShare,
      lossBeforeDb: semitone.lossBeforeDb,
      lossAfterDb: semitone.lossAfterDb,
      soundsAtSeconds: semitone.soundsAtSeconds,
    })),
    evennessBeforeDb: tone.evennessBeforeDb,
    evennessAfterDb: tone.evennessAfterDb,
    firstNotchBeforeHz: tone.firstNotchBeforeHz,
    firstNotchAfterHz: tone.firstNotchAfterHz,
    broadbandChangeDb: tone.broadbandChangeDb,
    bands: tone.bands.map(band => ({
      name: band.name,
      fromHz: band.fromHz,
      toHz: band.toHz,
      changeDb: band.changeDb,
    })),
    words: tone.words,
    check: tone.check === null ? null : checkOf(tone.check),
  }
}
