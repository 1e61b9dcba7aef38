import * as portable from '../../terms/portable.js'
import { speedOfSound } from '../../terms/units.js'
import type { JudgedSource } from '../group/judged-source.js'
import type { Advice, ToneAtLag } from '../measurement.js'
import type { SessionTrack } from '../session/session-source.js'
import { adviceText } from './advice-words.js'
import { noteName, playedTones } from './played-tones.js'
import { highestShared, toleranceCelsius, toleranceMetres } from './shared-band.js'

export interface AdviceQuestion {
  readonly track: SessionTrack
  readonly reference: SessionTrack
  /** Null for the reference. */
  readonly judged: JudgedSource | null
  readonly sampleRateHz: number
  readonly temperatureCelsius: number
}

/** Nobody moves a room microphone to a close one. */
const MOVABLE_METRES = 1
/** A notch is deeper, but nothing in a room ever cancels better. */
const DEEPEST_DB = 60

/**
 * What could be better at the next take. Null for the reference, for a group and where a source is silent: then its health says
 * what to do.
 */
export const adviceFor = (question: AdviceQuestion): Advice | null => {
  const { track, reference, judged, sampleRateHz, temperatureCelsius } = question
  if (judged === null || track.fromGroup !== null || track.scan.silent || reference.scan.silent) return null
  const sound = judged.best?.estimate?.arrival.sound ?? null
  const sure = judged.lagVerdict === 'sure' && judged.polarityVerdict === 'sure'
  if (!sure || sound === null || judged.lagSamples === null) {
    return {
      text: adviceText({ kind: 'slate' }),
      moveMetres: null,
      toleranceMetres: null,
      toleranceCelsius: null,
      toleranceHz: null,
      tones: [],
    }
  }
  const speed = speedOfSound(temperatureCelsius)
  const inverted = judged.polarity === 'inverted'
  const seconds = judged.lagSamples / sampleRateHz
  const late = seconds * speed
  const toleranceHz = highestShared(sound, sampleRateHz)
  const tolerance = toleranceHz === null ? null : toleranceMetres(toleranceHz, speed)
  const warmer =
    tolerance === null || track.file.via === 'reamp' || reference.file.via === 'reamp'
      ? null
      : toleranceCelsius(tolerance, late, temperatureCelsius)
  const tones = playedTones(sound, sampleRateHz).map(hz => toneAt(hz, seconds, inverted))
  const movable = track.file.via === 'mic' && reference.file.via === 'mic' && Math.abs(late) <= MOVABLE_METRES
  const told = {
    reference: reference.source.name,
    lateMetres: late,
    distanceMetres: track.source.distanceMetres,
    inverted,
    tolerance:
      tolerance === null || toleranceHz === null
        ? null
        : { metres: tolerance, celsius: warmer, hz: toleranceHz },
    tones,
  }
  return {
    text: adviceText({ kind: movable ? 'move' : 'keep', ...told }),
    moveMetres: movable ? -late : null,
    toleranceMetres: tolerance,
    toleranceCelsius: warmer,
    toleranceHz,
    tones,
  }
}

/** How a tone fares in the sum of two equal parts as they were recorded. */
const toneAt = (frequencyHz: number, lagSeconds: number, inverted: boolean): ToneAtLag => {
  const phase = Math.PI * frequencyHz * lagSeconds
  const left = Math.abs(inverted ? portable.sin(phase) : portable.cos(phase))
  return {
    note: noteName(frequencyHz),
    frequencyHz,
    halfWavelengths: 2 * frequencyHz * Math.abs(lagSeconds),
    lossDb: Math.min(DEEPEST_DB, -20 * portable.log10(Math.max(left, 1e-9))) + 0,
  }
}
