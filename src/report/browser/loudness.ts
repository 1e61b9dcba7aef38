import { LoudnessMeter } from '../../signal/loudness.js'

/** Integrated loudness of a take, LUFS; null where it has none. */
export const loudnessOf = (channels: readonly Float64Array[], sampleRateHz: number): number | null => {
  const meter = new LoudnessMeter(sampleRateHz, channels.length)
  meter.push(channels)
  return meter.integratedLufs()
}

/** By how many dB each take is turned down so that all are as loud as the softest; 0 where one has no loudness. */
export const matchDb = (lufs: ReadonlyMap<string, number | null>): ReadonlyMap<string, number> => {
  const known = [...lufs.values()].filter(value => value !== null)
  const softest = Math.min(...known)
  return new Map([...lufs].map(([name, value]) => [name, value === null ? 0 : softest - value]))
}
