export interface Stretch {
  readonly startSeconds: number
  readonly endSeconds: number
}

/** `0:12-0:20` or `1:02:03.5-1:02:40`: seconds from the start of the file. Null for a text of another form. */
export const stretchOf = (text: string): Stretch | null => {
  const match = /^([0-9:.]+) ?- ?([0-9:.]+)$/.exec(text)
  if (match === null) return null
  const startSeconds = clockSeconds(match[1]!)
  const endSeconds = clockSeconds(match[2]!)
  return startSeconds === null || endSeconds === null ? null : { startSeconds, endSeconds }
}

/** `1:12.5` or `1:02:03`: seconds. Null for a text of another form. */
export const clockSeconds = (text: string): number | null => {
  const match = /^(?:([0-9]{1,3}):)?([0-9]{1,3}):([0-5][0-9](?:\.[0-9]{1,9})?)$/.exec(text)
  if (match === null) return null
  const minutes = Number(match[2])
  if (match[1] !== undefined && minutes > 59) return null
  return Number(match[1] ?? 0) * 3600 + minutes * 60 + Number(match[3])
}

/** A time as a recipe writes it: `0:29.5`. Rounded down to a millisecond, so that it never lies beyond what it tells. */
export const clockText = (seconds: number): string => {
  const milliseconds = Math.max(0, Math.floor(seconds * 1000 + 1e-6))
  const whole = Math.floor(milliseconds / 1000)
  const hours = Math.floor(whole / 3600)
  const minutes = Math.floor(whole / 60) % 60
  const rest = milliseconds % 1000
  const decimals = rest === 0 ? '' : `.${String(rest).padStart(3, '0').replace(/0+$/, '')}`
  const clock = `${String(whole % 60).padStart(2, '0')}${decimals}`
  return hours > 0 ? `${hours}:${String(minutes).padStart(2, '0')}:${clock}` : `${minutes}:${clock}`
}
