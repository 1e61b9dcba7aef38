const STANDARD_HZ = [8000, 16000, 22050, 24000, 32000, 44100, 48000, 88200, 96000, 176400, 192000]

const isStandard = (rateHz: number): boolean => STANDARD_HZ.some(hz => Math.abs(hz / rateHz - 1) < 1e-6)
const kilohertz = (rateHz: number): string => `${Number((rateHz / 1000).toFixed(3))} kHz`

/** A share of 1 as `88,435 ppm`. */
const partsInMillion = (share: number): string =>
  `${Math.round(1e6 * share)
    .toString()
    .replace(/\B(?=(\d{3})+$)/g, ',')} ppm`

/**
 * What a wrong label means and what to do. `factor`: frames of the source's file to one of the reference's; `labelHz`: rate that
 * both headers tell.
 */
export const rateSentences = (
  factor: number,
  labelHz: number,
  reference: string,
): { readonly reason: string; readonly warning: string } => {
  const apart = Math.abs(1 / factor - 1)
  const percent = 100 * apart
  const speed = `${percent.toFixed(percent < 1 ? 2 : 1)} % too ${factor < 1 ? 'fast' : 'slow'}`
  const own = factor * labelHz
  const others = labelHz / factor
  const [whose, trueHz] = isStandard(own)
    ? ['this file', own]
    : isStandard(others)
      ? [reference, others]
      : ['this file', own]
  const told = `By its sound it plays ${speed} against ${reference} (${partsInMillion(apart)}, all the time): most likely ${whose} was recorded at ${kilohertz(trueHz)} and its header says ${kilohertz(labelHz)}.`
  return {
    reason: `plays ${speed}: the sample rate in the header of ${whose} seems wrong, so correct it and convert the file to ${kilohertz(labelHz)}`,
    warning: `${told} Nothing was measured until that is right. In a copy, set the header to the true rate, then convert that copy to ${kilohertz(labelHz)} with a resampler; for the next take, look at the clock source of the recorder.`,
  }
}
