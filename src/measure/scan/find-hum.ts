import type { SourceReader } from '../../wave/source-reader.js'
import type { Hum } from '../measurement.js'
import type { Activity } from './activity.js'
import { humIn, humWindow } from './hum.js'
import { quietWindows } from './quiet-windows.js'

/**
 * Mains hum in the gaps of an open source: reads the quietest gaps once more, at most 24 of them, of 0.5 to 1 s or, where the
 * playing never rests for so long, of half that. Over several channels: the one with the most hum. Null as in `humIn`.
 */
export const findHum = (reader: SourceReader, activity: Activity): Hum | null => {
  const rate = reader.facts.sampleRateHz
  for (const short of [false, true]) {
    const size = humWindow(rate, short)
    const starts = quietWindows(activity, size)
    if (starts.length === 0) continue
    const windows = starts.map(start => {
      const block = Array.from({ length: reader.channels }, () => new Float64Array(size))
      reader.read(start, block)
      return block
    })
    let worst: Hum | null = null
    for (let c = 0; c < reader.channels; c++) {
      const hum = humIn(
        windows.map(block => block[c]!),
        rate,
      )
      if (hum !== null && hum.levelDbfs > (worst?.levelDbfs ?? Number.NEGATIVE_INFINITY)) worst = hum
    }
    return worst
  }
  return null
}
