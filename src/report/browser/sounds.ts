import { textToBytes } from '../desk/float-text.js'
import type { Listen } from '../listen/listen.js'
import { unpack } from '../listen/packing.js'
import { unpackWhole } from '../listen/residuals.js'
import type { Sound } from '../listen/takes.js'
import type { Waveform } from '../waveform/waveform.js'

const opened = new Map<string, Sound>()

/** Whether the page holds the sounds of a passage. */
export const holdsSound = (listen: Listen): boolean =>
  listen.sounds.every(({ id }) => document.getElementById(id) !== null)

const bytesIn = (id: string): Uint8Array =>
  textToBytes((document.getElementById(id)?.textContent ?? '').trim())

/** Whether the page holds the whole song of a group. */
export const holdsWaveform = (waveform: Waveform): boolean =>
  waveform.sources.every(({ id }) => document.getElementById(id) !== null)

/** The values of a coarse waveform by the id of their element; each is unpacked when it is first asked for. */
export const valuesOf = (waveform: Waveform): ((id: string) => Int32Array) => {
  const known = new Map<string, Int32Array>()
  return id => {
    const values =
      known.get(id) ??
      unpackWhole(bytesIn(id), 0, waveform.sources.find(source => source.id === id)?.values ?? 0).values
    known.set(id, values)
    return values
  }
}

/** The recordings of a passage; each is unpacked when it is first asked for. */
export const soundsOf =
  (listen: Listen) =>
  (source: string): Sound => {
    const { id, coding, channels, startFrame } = listen.sounds.find(sound => sound.source === source)!
    const known = opened.get(id)
    if (known !== undefined) return known
    const sound = { startFrame, channels: unpack(bytesIn(id), coding, channels) }
    opened.set(id, sound)
    return sound
  }
