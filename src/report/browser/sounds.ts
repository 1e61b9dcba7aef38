import { textToBytes } from '../desk/float-text.js'
import type { Listen } from '../listen/listen.js'
import { unpack } from '../listen/packing.js'
import type { Sound } from '../listen/takes.js'

const opened = new Map<string, Sound>()

/** Whether the page holds the sounds of a passage. */
export const holdsSound = (listen: Listen): boolean =>
  listen.sounds.every(({ id }) => document.getElementById(id) !== null)

/** The recordings of a passage; each is unpacked when it is first asked for. */
export const soundsOf =
  (listen: Listen) =>
  (source: string): Sound => {
    const { id, coding, channels, startFrame } = listen.sounds.find(sound => sound.source === source)!
    const known = opened.get(id)
    if (known !== undefined) return known
    const text = document.getElementById(id)?.textContent ?? ''
    const sound = { startFrame, channels: unpack(textToBytes(text.trim()), coding, channels) }
    opened.set(id, sound)
    return sound
  }
