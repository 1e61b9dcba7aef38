import { clock } from '../../terms/clock-text.js'
import type { Warning } from '../../terms/warning.js'
import { type Activity, levelAtShare } from '../scan/activity.js'
import type { SessionTrack } from '../session/session-source.js'

/** The other track plays where it is within this of its own loud steps, dB. */
const PLAYS_DB = 25
/** A track hears something where it is within this of its own loud steps, dB, and not as faint as SILENT asks for. */
const HEARS_DB = 45
const SILENT_DBFS = -70
/** So much of what the other track plays must pass unheard, seconds: a player's rest is heard by nobody. */
const LEAST_SECONDS = 10
/** Before that it must have heard so much of it: a track with a gate, or a tom, hears little all along. */
const HEARD_BEFORE = 0.5

export interface FallenSilent {
  /** From here to its end the track holds nothing, seconds of its own time. */
  readonly fromSeconds: number
  /** How long the other track plays meanwhile. */
  readonly unheardSeconds: number
}

/**
 * Whether a track goes silent for good while another of its group plays on; null where it does not, or was never there before.
 * @param startOffset start of the track's file minus that of the other's, frames
 */
export const fallenSilent = (
  own: Activity,
  other: Activity,
  startOffset: number,
  sampleRateHz: number,
): FallenSilent | null => {
  const [loud, otherLoud] = [levelAtShare(own, 0.95), levelAtShare(other, 0.95)]
  if (loud === null || otherLoud === null) return null
  const least = Math.max(SILENT_DBFS, loud - HEARS_DB)
  const lastHeard = own.levelsDbfs.findLastIndex(level => level >= least)
  const shift = Math.round(startOffset / own.stepFrames)
  let heard = 0
  let before = 0
  let unheard = 0
  own.levelsDbfs.forEach((level, step) => {
    const played = other.levelsDbfs[step + shift]
    if (played === undefined || played < otherLoud - PLAYS_DB) return
    if (step > lastHeard) unheard++
    else {
      before++
      if (level >= least) heard++
    }
  })
  const stepSeconds = own.stepFrames / sampleRateHz
  if (unheard * stepSeconds < LEAST_SECONDS || heard < HEARD_BEFORE * before) return null
  return { fromSeconds: (lastHeard + 1) * stepSeconds, unheardSeconds: unheard * stepSeconds }
}

/** FALLS_SILENT: a recorded path that was there and is not any more. The reference is held against the first of the others. */
export const silentEnds = (
  group: string,
  tracks: readonly SessionTrack[],
  reference: number,
  offsets: readonly number[],
  sampleRateHz: number,
): readonly Warning[] =>
  tracks.flatMap((track, i): readonly Warning[] => {
    const other = i === reference ? tracks.findIndex((_, j) => j !== reference) : reference
    const against = tracks[other]
    if (against === undefined || track.fromGroup !== null || track.scan.silent) return []
    const startOffset = offsets[i]! - offsets[other]!
    const found = fallenSilent(track.scan.activity, against.scan.activity, startOffset, sampleRateHz)
    if (found === null) return []
    return [
      {
        code: 'FALLS_SILENT',
        group,
        source: track.source.name,
        message:
          `Silent from ${clock(found.fromSeconds)} to its end, while ${against.source.name} plays for ${clock(found.unheardSeconds)}. Listen there: a cable, a ` +
          'battery, a mute? Use it up to that moment alone, or take a blend without it. Before you plug it or switch its phantom power, mute the channel.',
      },
    ]
  })
