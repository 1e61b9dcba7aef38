import { metresFromSamples } from '../../terms/units.js'
import type { SourceMeasurement } from '../measurement.js'
import type { SessionTrack } from '../session/session-source.js'

const ALLOWED_METRES = 0.03
const ALLOWED_SHARE = 0.03

export interface DistanceQuestion {
  readonly track: SessionTrack
  readonly reference: SessionTrack
  readonly measured: Pick<SourceMeasurement, 'lagVerdict' | 'lagSamples' | 'arrivalSpreadSamples'>
  readonly sampleRateHz: number
  readonly temperatureCelsius: number
}

/**
 * The tape measure against the lag: what to tell where they differ by more than 3 cm + 3 % + the arrival spread; null where they
 * agree, and where nothing can be compared. What counts is the air that the sound crosses more than on its way to the
 * reference: a cable or a pickup crosses none, and where the reference is a microphone itself its own distance is taken off.
 * At least one of the two distances must stand in the recipe, and the lag must be sure.
 */
export const distanceDiffers = (question: DistanceQuestion): string | null => {
  const { track, reference, measured, sampleRateHz, temperatureCelsius } = question
  if (track.source.name === reference.source.name) return null
  if (measured.lagVerdict !== 'sure' || measured.lagSamples === null) return null
  const own = airOf(track)
  const near = airOf(reference)
  if (own === null || near === null || !(own.stated || near.stated)) return null
  // A pass that was played back comes late by converters and buffers too: only two such passes can be compared.
  if ((track.file.via === 'reamp') !== (reference.file.via === 'reamp')) return null
  const told = own.metres - near.metres
  const inAir = (samples: number): number => metresFromSamples(samples, sampleRateHz, temperatureCelsius)
  const found = inAir(measured.lagSamples)
  const spread = inAir(measured.arrivalSpreadSamples ?? 0)
  if (Math.abs(found - told) <= ALLOWED_METRES + ALLOWED_SHARE * Math.abs(told) + spread) return null
  const { name } = reference.source
  return `By the recipe the sound crosses ${across(told)} than to ${name}; the lag says ${across(found)}, at ${Number(temperatureCelsius.toFixed(1))} °C. Measure again from the instrument to the capsule, and check for latency in this path.`
}

const across = (metres: number): string =>
  `${Math.abs(metres).toFixed(2)} m of air ${metres < 0 ? 'less' : 'more'}`

/** Air between the instrument and the place where its sound becomes a signal; null where the recipe does not tell. */
const airOf = ({
  source,
  file,
}: SessionTrack): { readonly metres: number; readonly stated: boolean } | null => {
  const metres = source.distanceMetres ?? file.distanceMetres
  if (metres !== null) return { metres, stated: true }
  return file.via === 'direct' || file.via === 'pickup' ? { metres: 0, stated: false } : null
}
