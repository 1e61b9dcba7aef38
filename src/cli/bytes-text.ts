const UNITS = ['bytes', 'KiB', 'MiB', 'GiB', 'TiB'] as const

/** A size for people, in the binary units of IEC 80000-13: "3.4 GiB". */
export const bytesText = (bytes: number): string => {
  let value = bytes
  let unit = 0
  while (value >= 1024 && unit < UNITS.length - 1) {
    value /= 1024
    unit += 1
  }
  return `${unit === 0 ? value : value.toFixed(1)} ${UNITS[unit]}`
}
