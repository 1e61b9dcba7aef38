import type { SumwellError } from '../terms/fault.js'
import { waveFault } from './wave-faults.js'

/** First bytes of other files that people take for a WAVE (from memory: the openings of these formats). */
const openings: readonly (readonly [opening: RegExp, kind: string, holdsNothing?: true])[] = [
  [/^$/, 'an empty file', true],
  [/^RIFX/, 'a big-endian RIFX file'],
  [/^(RIFF|RF64|BW64)/, 'a RIFF file without WAVE in it'],
  [/^riff/, 'a Wave64 file'],
  [/^FORM....AIF[FC]/, 'an AIFF file'],
  [/^fLaC/, 'a FLAC file'],
  [/^OggS/, 'an Ogg file'],
  [/^caff/, 'a CAF file'],
  [/^(ID3|\xff[\xe2-\xff])/, 'an MPEG audio file'],
  [/^....ftyp/, 'an MP4 file'],
  [/^\0\x05\x16\x07/, 'a side file of a Mac disk (its name starts with "._"), not the recording', true],
  [/^\0+$/, 'filled with zero bytes: a copy that never finished, or a damaged disk', true],
]

/** The fault for a file that does not start as a WAVE, with what it is instead where its first 12 bytes tell. */
export const notWave = (path: string, start: Uint8Array): SumwellError => {
  const text = String.fromCharCode(...start)
  const [, kind, holdsNothing] = openings.find(([opening]) => opening.test(text)) ?? []
  return waveFault(
    'WAVE_NOT_WAVE',
    path,
    `this is no WAVE file${kind === undefined ? '' : `: it is ${kind}`}`,
    {
      expected: 'RIFF, RF64 or BW64 at byte 0 and WAVE at byte 8',
      mend: holdsNothing
        ? 'copy or export the recording again from the machine or program that made it'
        : 'convert it to WAVE with the program that made it, without changing rate or depth',
    },
  )
}
