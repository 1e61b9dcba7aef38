import type { Via } from '../../recipe/session.js'
import { metresFromSamples } from '../../terms/units.js'

/**
 * A lag as a length of air, metres; positive: farther than the reference. Null where the lag is not known, and for a re-amped pass:
 * that is late by converters and buffers.
 */
export const airMetres = (
  lagSamples: number | null,
  via: Via | null,
  sampleRateHz: number,
  temperatureCelsius: number,
): number | null =>
  lagSamples === null || via === 'reamp'
    ? null
    : metresFromSamples(lagSamples, sampleRateHz, temperatureCelsius)
