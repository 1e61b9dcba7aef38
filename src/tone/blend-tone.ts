import { soundingMoments } from './notes/sounding-moments.js'
import {
  addPowers,
  type BlendPower,
  blendPower,
  ECHO_SECONDS,
  type SummedPart,
} from './predict/blend-power.js'
import { type GroupSpectra, joinBins, joinSpectra } from './predict/cross-spectra.js'
import { curveEnergies, toneCurve } from './predict/curve.js'
import { evennessDb } from './predict/evenness.js'
import { firstNotchHz } from './predict/first-notch.js'
import { playedSemitones } from './predict/semitones.js'
import { sharedSpectra } from './predict/shared-sound.js'
import { standingNotchHz } from './predict/standing-notch.js'
import { toneBins } from './predict/tone-bins.js'
import { type Echo, toneWords } from './predict/tone-words.js'
import { broadbandChangeDb, wideBandChanges } from './predict/wide-bands.js'
import { spectralGrid } from './spectra/resolution.js'
import { effectiveFrames, type SegmentSums } from './spectra/sums.js'
import type { View } from './spectra/view.js'
import type { BlendTone, Semitone } from './tone.js'
import type { BlendInView, PartInView } from './view-of-group.js'

/** What a look at a group's recordings showed, ready for predictions. */
export interface SeenGroup {
  readonly view: View
  readonly sums: SegmentSums
  /** As they are, and without what chance adds to what signals share. */
  readonly spectra: GroupSpectra
  readonly shared: GroupSpectra
  /** Density of the power in which notes were looked for. */
  readonly loudness: Float64Array
  /** Density of each of `View.asRecorded`. */
  readonly asRecorded: readonly Float64Array[]
}

/** What the tone of any blend of a group is predicted from: its spectra, what its signals share, how loud each frequency is. */
export const seenGroup = (view: View, sums: SegmentSums): SeenGroup => {
  const grid = spectralGrid(view.sampleRateHz)
  const bins = toneBins(grid)
  const spectra = joinSpectra(bins, view.pairs, sums.low, sums.normal)
  const loudness = new Float64Array(bins.frequenciesHz.length)
  spectra.auto.forEach((auto, signal) => {
    const { weight } = view.signals[signal]!
    for (let k = 0; k < loudness.length; k++) loudness[k] = loudness[k]! + weight * auto[k]!
  })
  const shared = sharedSpectra(spectra, {
    low: effectiveFrames(sums.low, grid.low),
    normal: effectiveFrames(sums.normal, grid.normal),
  })
  const asRecorded = sums.low.asRecorded.map((low, i) => joinBins(bins, low, sums.normal.asRecorded[i]!))
  return { view, sums, spectra, shared, loudness, asRecorded }
}

/** How far from its place in the view a part is delivered, frames. What follows a change was taken exactly where it is delivered. */
export const deliveredLater = ({ part, placement }: PartInView): number =>
  placement.follow === null ? part.atSamples - Math.round(placement.atSamples) : 0

const recordedLater = ({ part, placement }: PartInView): number =>
  part.recordedAtSamples - Math.round(placement.atSamples)

interface BlendPowers {
  /** Of what the parts share: for the loss. */
  readonly loss: BlendPower
  /** As it is: for levels. */
  readonly level: BlendPower
}

/** As recorded, or as delivered: the whole blend, its channels added. */
const powersOf = (seen: SeenGroup, blend: BlendInView, time: 'before' | 'after'): BlendPowers => {
  const rate = seen.view.sampleRateHz
  const isRecorded = time === 'before' || blend.stem.parts.every(part => part.follow === null)
  const channelPower = (spectra: GroupSpectra, channel: number): BlendPower => {
    const parts: SummedPart[] = blend.channels[channel]!.map(placed => ({
      signal: placed.signal,
      gain: time === 'before' ? placed.part.recordedGain : placed.part.gain,
      laterSeconds: (time === 'before' ? recordedLater(placed) : deliveredLater(placed)) / rate,
    }))
    const power = blendPower(parts, spectra, ECHO_SECONDS)
    // Where positions change during the take only the sum made frame by frame tells how it was.
    return blend.asRecorded === null || !isRecorded
      ? power
      : { ...power, power: seen.asRecorded[blend.asRecorded[channel]!]! }
  }
  const channels = blend.channels.map((_, channel) => channel)
  return {
    loss: addPowers(channels.map(channel => channelPower(seen.shared, channel))),
    level: addPowers(channels.map(channel => channelPower(seen.spectra, channel))),
  }
}

/** The part that common sound was furthest away in as recorded, if far enough to be an echo. */
const echoOf = (blend: BlendInView, sampleRateHz: number): Echo | null => {
  const moved = blend.stem.parts.map(part => ({
    source: part.key.slice(part.key.lastIndexOf('/') + 1),
    seconds: (part.recordedAtSamples - part.atSamples) / sampleRateHz,
  }))
  const [least, most] = [...moved]
    .sort((a, b) => a.seconds - b.seconds)
    .flatMap((m, i, all) => (i === 0 || i === all.length - 1 ? [m] : []))
  if (least === undefined || most === undefined) return null
  const apart = most.seconds - least.seconds
  return apart > ECHO_SECONDS ? { source: most.source, ms: 1000 * apart } : null
}

const evennessOf = (semitones: readonly Semitone[], loss: 'lossBeforeDb' | 'lossAfterDb'): number | null =>
  evennessDb(semitones.map(semitone => ({ energyShare: semitone.energyShare, lossDb: semitone[loss] })))

const isMoved = (blend: BlendInView): boolean => {
  const [first] = blend.stem.parts
  return blend.stem.parts.some(
    part =>
      part.follow !== null ||
      part.gain !== part.recordedGain ||
      part.atSamples - part.recordedAtSamples !== first!.atSamples - first!.recordedAtSamples,
  )
}

/** All of a blend's tone but the check on what was written. */
export const blendTone = (seen: SeenGroup, blend: BlendInView): BlendTone => {
  const { bins } = seen.spectra
  const rate = seen.view.sampleRateHz
  const before = powersOf(seen, blend, 'before')
  const after = powersOf(seen, blend, 'after')
  const energies = { before: curvesOf(before), after: curvesOf(after) }
  const loudest = Math.max(...energies.before.level.power, ...energies.after.level.power)
  const semitones = playedSemitones(
    { energies: seen.sums.notes, heard: seen.sums.heard },
    { before: before.loss, after: after.loss },
    seen.loudness,
    bins,
  ).map(note => ({ ...note, soundsAtSeconds: soundingMoments(note.midi, seen.sums.moments) }))
  const told = {
    evennessBeforeDb: evennessOf(semitones, 'lossBeforeDb'),
    evennessAfterDb: evennessOf(semitones, 'lossAfterDb'),
    firstNotchBeforeHz: firstNotchHz(before.loss, bins, rate),
    firstNotchAfterHz: firstNotchHz(after.loss, bins, rate),
    broadbandChangeDb: broadbandChangeDb(before.level.power, after.level.power, bins),
    bands: wideBandChanges(before.level.power, after.level.power, bins),
  }
  const { frequenciesHz } = energies.after.level
  const curves = {
    before: toneCurve(energies.before.loss, energies.before.level, loudest),
    after: toneCurve(energies.after.loss, energies.after.level, loudest),
  }
  const wordsTold = {
    ...told,
    firstNotchBeforeHz: standingNotchHz(told.firstNotchBeforeHz, frequenciesHz, curves.before.lossDb),
    firstNotchAfterHz: standingNotchHz(told.firstNotchAfterHz, frequenciesHz, curves.after.lossDb),
  }
  return {
    blend: blend.stem.name,
    group: blend.stem.group,
    frequenciesHz,
    before: curves.before,
    after: curves.after,
    semitones,
    ...told,
    words: toneWords(wordsTold, isMoved(blend), echoOf(blend, rate)),
    check: null,
  }

  function curvesOf({ loss, level }: BlendPowers): {
    loss: ReturnType<typeof curveEnergies>
    level: ReturnType<typeof curveEnergies>
  } {
    return { loss: curveEnergies(loss, bins, rate), level: curveEnergies(level, bins, rate) }
  }
}
