/** One note of a part. */
export interface PlayedNote {
  /** MIDI number: 69 = A4. */
  readonly note: number
  readonly atSeconds: number
  readonly seconds: number
  /** 1 … 127. */
  readonly velocity: number
}

/** Ticks to a quarter note; at the default tempo of 120 quarters a minute a tick is 1/960 s. */
const DIVISION = 480
const TICKS_PER_SECOND = 2 * DIVISION

/** A standard MIDI file of format 0 with one part on the first channel (Standard MIDI Files 1.0; from memory). `program`: 0 … 127. */
export const midiFile = (program: number, notes: readonly PlayedNote[]): Uint8Array => {
  const tick = (seconds: number): number => Math.round(seconds * TICKS_PER_SECOND)
  const events = notes
    .flatMap(({ note, atSeconds, seconds, velocity }) => [
      { at: tick(atSeconds), bytes: [0x90, note, velocity] },
      { at: tick(atSeconds + seconds), bytes: [0x80, note, 0] },
    ])
    // At one tick notes end before others begin, so that a repeated note sounds again.
    .sort((a, b) => a.at - b.at || a.bytes[0]! - b.bytes[0]!)
  const track = [0, 0xc0, program]
  let before = 0
  for (const { at, bytes } of events) {
    track.push(...variableLength(at - before), ...bytes)
    before = at
  }
  track.push(0, 0xff, 0x2f, 0)
  const head = [...ascii('MThd'), ...bytes4(6), 0, 0, 0, 1, DIVISION >> 8, DIVISION & 255]
  return Uint8Array.from([...head, ...ascii('MTrk'), ...bytes4(track.length), ...track])
}

const ascii = (text: string): number[] => Array.from(text, c => c.charCodeAt(0))

const bytes4 = (value: number): number[] => [24, 16, 8, 0].map(shift => (value >> shift) & 255)

const variableLength = (value: number): number[] => {
  const bytes = [value & 127]
  for (let rest = value >> 7; rest > 0; rest >>= 7) bytes.unshift(128 | (rest & 127))
  return bytes
}
