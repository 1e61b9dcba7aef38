import { type ChannelSelection, selectedChannels, type WaveFacts } from '../recipe/session.js'
import { internalFault } from './wave-faults.js'
import { type OpenOptions, openWave, type WaveFile } from './wave-file.js'

/** One file seen through its channel selection. */
export interface ChannelReader {
  /** Channels after selection. */
  readonly channels: number
  /** Of the whole file. */
  readonly facts: WaveFacts
  readonly file: WaveFile
  /** As `WaveFile.read`, one array per selected channel. The mean of the channels is their sum by the lowest first, divided. */
  read(startFrame: number, into: readonly Float64Array[]): void
  close(): void
}

const meanOf = (file: WaveFile): ChannelReader['read'] => {
  const { channels } = file.facts
  let scratch: Float64Array[] = []
  return (startFrame, into) => {
    const [mean] = into
    if (mean === undefined || into.length !== 1) throw internalFault('the mean is one channel', file.path)
    if (scratch[0]?.length !== mean.length) {
      scratch = Array.from({ length: channels }, () => new Float64Array(mean.length))
    }
    file.read(startFrame, scratch)
    mean.set(scratch[0]!)
    for (const values of scratch.slice(1)) for (let i = 0; i < mean.length; i++) mean[i]! += values[i]!
    for (let i = 0; i < mean.length; i++) mean[i]! /= channels
  }
}

const readerOf = (file: WaveFile, selection: ChannelSelection): ChannelReader['read'] => {
  if (selection.kind === 'all') {
    return (startFrame, into) => {
      file.read(startFrame, into)
    }
  }
  if (selection.kind === 'mean') return meanOf(file)
  if (selection.index >= file.facts.channels) {
    throw internalFault(`channel ${selection.index + 1} of ${file.facts.channels}`, file.path)
  }
  const picked = [selection.index]
  return (startFrame, into) => {
    file.readChannels(startFrame, picked, into)
  }
}

/**
 * Opens one file with the channels that a recipe selects.
 * @throws SumwellError as `openWave`
 */
export const openChannels = (
  path: string,
  selection: ChannelSelection,
  options: OpenOptions = {},
): ChannelReader => {
  const file = openWave(path, options)
  const close = (): void => {
    file.close()
  }
  try {
    const channels = selectedChannels(selection, file.facts.channels)
    return { channels, facts: file.facts, file, read: readerOf(file, selection), close }
  } catch (error) {
    close()
    throw error
  }
}
