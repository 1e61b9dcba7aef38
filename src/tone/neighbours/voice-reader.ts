import type { ChannelSelection } from '../../recipe/session.js'
import { float64 } from '../../signal/kernel/arena.js'
import { openSource, type SourceReader } from '../../wave/source-reader.js'
import type { NeighbourVoice } from './neighbour-input.js'

interface OpenPart {
  readonly reader: SourceReader
  readonly atFrame: number
  readonly gain: number
  readonly into: readonly Float64Array[]
}

/** Reads one group's sum, as it was recorded or as its stems are. Close it when done. */
export class VoiceReader {
  readonly #recorded: OpenPart[] = []
  readonly #delivered: OpenPart[] = []

  /** @throws SumwellError as `openSource` */
  constructor({ recorded, delivered }: NeighbourVoice, frames: number) {
    const open = (
      file: string,
      part: Omit<OpenPart, 'reader' | 'into'>,
      selection: ChannelSelection,
    ): OpenPart => {
      const reader = openSource(file, selection)
      return { ...part, reader, into: Array.from({ length: reader.channels }, () => float64(frames)) }
    }
    try {
      for (const { file, selection, atFrame, gain } of recorded) {
        this.#recorded.push(open(file, { atFrame, gain }, selection))
      }
      for (const { file } of delivered) this.#delivered.push(open(file, { atFrame: 0, gain: 1 }, ALL))
    } catch (error) {
      this.close()
      throw error
    }
  }

  /** Fills `into`, one array a channel; mono goes to all. */
  read(time: 'before' | 'after', start: number, into: readonly Float64Array[]): void {
    for (const sum of into) sum.fill(0)
    for (const part of time === 'before' ? this.#recorded : this.#delivered) {
      part.reader.read(start - part.atFrame, part.into)
      into.forEach((sum, channel) => {
        const samples = part.into[part.into.length === 1 ? 0 : channel]
        if (samples === undefined) return
        for (let i = 0; i < sum.length; i++) sum[i] = sum[i]! + part.gain * samples[i]!
      })
    }
  }

  close(): void {
    for (const { reader } of [...this.#recorded, ...this.#delivered]) reader.close()
  }
}

const ALL: ChannelSelection = { kind: 'all' }
