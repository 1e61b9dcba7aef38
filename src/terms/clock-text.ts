import { MINUS } from './figure-text.js'

/** Minutes and seconds: "1:12", "0:04.2" with places. */
export const clock = (seconds: number, places = 0): string => {
  const units = Math.round(Math.abs(seconds) * 10 ** places)
  const perMinute = 60 * 10 ** places
  const minutes = Math.floor(units / perMinute)
  const rest = ((units % perMinute) / 10 ** places).toFixed(places)
  return `${seconds < 0 ? MINUS : ''}${minutes}:${rest.padStart(places > 0 ? 3 + places : 2, '0')}`
}

/** Time of day of a stamp to a millisecond, cut off, not rounded: "09:41:07.250". The stamp counts frames since midnight. */
export const timeOfDay = (stampSamples: number, sampleRateHz: number): string => {
  const ms = Math.floor((stampSamples * 1000) / sampleRateHz)
  const two = (value: number): string => String(value).padStart(2, '0')
  const seconds = Math.floor(ms / 1000)
  const time = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60, seconds % 60].map(two).join(':')
  return `${time}.${String(ms % 1000).padStart(3, '0')}`
}
