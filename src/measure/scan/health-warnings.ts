import { clock } from '../../terms/clock-text.js'
import { fixed } from '../../terms/figure-text.js'
import * as portable from '../../terms/portable.js'
import type { Warning, WarningCode } from '../../terms/warning.js'
import type { SourceScan } from './source-scan.js'

const DC_TOLD = 0.002 // -54 dBFS; common practice, no source
// A shorter sound has a mean of its own.
const DC_FROM_SECONDS = 1
const HUM_UNDER_SOUND_DB = 50

type Findings = Omit<SourceScan, 'warnings' | 'sha256'>

/** What a person should know of a source by itself, in the order of the codes. Group and source are null, for the caller. */
export const healthWarnings = (scan: Findings): Warning[] => {
  const told: [WarningCode, string | null][] = [
    ['SILENT', silentMessage(scan)],
    ['DEAD_CHANNEL', deadMessage(scan)],
    ['COPY_OF_ANOTHER', copiedMessage(scan)],
    ['CLIPPED', clippedMessage(scan)],
    ['DC_OFFSET', dcMessage(scan)],
    ['HUM', humMessage(scan)],
    ['DROPPED_SAMPLES', droppedMessage(scan)],
  ]
  return told.flatMap(([code, message]) =>
    message === null ? [] : [{ code, group: null, source: null, message }],
  )
}

const silentMessage = ({ silent, samplePeakDbfs }: Findings): string | null => {
  if (!silent) return null
  const peak =
    samplePeakDbfs === null ? 'Nothing but digital silence' : `Nothing above ${decibels(samplePeakDbfs)} dBFS`
  return `${peak}: this source cannot be measured. Check the patch, the mute and the phantom power of this channel (mute it before you plug or switch), and that the right file is named.`
}

const deadMessage = ({ deadChannels, silent, channels }: Findings): string | null => {
  if (silent || deadChannels.length === 0) return null
  const named = deadChannels.map(channel => channelName(channel, channels)).join(', ')
  return `Nothing, or next to nothing, on ${named} of ${channels} channels while the others play. A linked set is moved as one, and its dead channel goes into the stem with it. Check the patch and the cable, or choose the good one (channel:).`
}

const copiedMessage = ({ copiedChannels, channels }: Findings): string | null => {
  const [first] = copiedChannels
  if (first === undefined) return null
  const name = (channel: number): string =>
    channels === 2 ? (channel === 0 ? 'left' : 'right') : `channel ${channel + 1}`
  const alike = copiedChannels
    .map(c => `${name(c.channel)} holds what ${name(c.of)} holds${c.inverted ? ', turned over' : ''}`)
    .join('; ')
  const then = first.inverted
    ? 'Played in mono they cancel.'
    : 'It is one track, not a set, and a blend hears it so.'
  return `${alike.charAt(0).toUpperCase()}${alike.slice(1)}. ${then} Name one of them (channel:), or find the file that was meant.`
}

/** Left and right of a pair, else the number counted from 1. */
const channelName = (channel: number, channels: number): string =>
  channels === 2 ? (channel === 0 ? 'the left' : 'the right') : `channel ${channel + 1}`

const clippedMessage = ({
  clippedRuns,
  clips,
  samplePeakDbfs,
  sampleRateHz,
  truePeakDbtp,
}: Findings): string | null => {
  const [first] = clips
  if (clippedRuns === 0 || first === undefined) return null
  const level = 20 * portable.log10(Math.abs(first.level))
  const below = level < -0.01
  const where = `Clipped in ${count(clippedRuns, 'place')}, first at ${time(first.startFrame, sampleRateHz)}`
  const how = below
    ? `, flat at ${decibels(level)} dBFS: clipped earlier in the chain and turned down since, or a sound that is square by nature.`
    : `${truePeakDbtp !== null && samplePeakDbfs !== null && truePeakDbtp > 0.1 ? `, true peak ${decibels(truePeakDbtp)} dBTP` : ''}.`
  return `${where}${how} Nothing was repaired. Listen there; record again with less gain, or replace the notes from another take.`
}

const dcMessage = ({ dcOffset, frames, sampleRateHz }: Findings): string | null => {
  if (Math.abs(dcOffset) < DC_TOLD || frames < DC_FROM_SECONDS * sampleRateHz) return null
  const level = decibels(20 * portable.log10(Math.abs(dcOffset)))
  return `The wave stands off zero by ${(100 * dcOffset).toFixed(2)} % of full scale (${level} dBFS). Measuring leaves it out and the stem keeps it; it costs headroom and clicks at cuts. Take it off with a high-pass of a few hertz in the mix, and have the converter or preamp looked at.`
}

const humMessage = ({ hum, rmsDbfs }: Findings): string | null => {
  if (hum === null || rmsDbfs === null || hum.levelDbfs < rmsDbfs - HUM_UNDER_SOUND_DB) return null
  return `Mains hum of ${hum.frequencyHz} Hz at ${decibels(hum.levelDbfs)} dBFS between the notes. For the next take: ground lift on the DI box, another cable, a balanced line, more distance and another angle to transformers, dimmers and power supplies. Never defeat the mains safety earth; leave mains wiring to licensed people under the local code.`
}

const droppedMessage = ({ droppedStretches, dropouts, sampleRateHz }: Findings): string | null => {
  const [first] = dropouts
  if (first === undefined) return null
  const what =
    first.kind === 'zeros'
      ? `${count(first.frames, 'frame')} of digital silence inside sound`
      : `${count(first.frames, 'frame')} that repeat those before`
  return `Samples seem to be lost in ${count(droppedStretches, 'place')}, first at ${time(first.startFrame, sampleRateHz)}: ${what}. From there on this source may be early or late against the others. Listen there; look at clock, buffer size and disk of the recorder before the next take.`
}

const decibels = (value: number): string => fixed(value, 1)

const count = (number: number, noun: string): string => `${number} ${noun}${number === 1 ? '' : 's'}`

/** To a millisecond: 1:02.345. */
const time = (frame: number, sampleRateHz: number): string => clock(frame / sampleRateHz, 3)
