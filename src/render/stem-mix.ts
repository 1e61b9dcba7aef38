import type { PlannedSource, PlannedStem } from '../decide/plan.js'
import { float64 } from '../signal/kernel/arena.js'
import { addScaled, scale } from '../signal/mix.js'
import { fault, SumwellError } from '../terms/fault.js'
import { type OpenPart, openPart } from './open-part.js'
import type { OpensPart } from './shared-parts.js'

/** A stem as a stream of sums, in doubles and before any rounding. Close it when done. */
export interface StemMix {
  readonly parts: readonly OpenPart[]
  /**
   * Fills `into` with the stem's frames from `stemFrame` on, one array per channel of the stem, all of one length. Parts are added in the
   * order of the plan; a mono part goes to every channel. Cutting the stem into other stretches changes no bit.
   * @throws SumwellError WAVE_NOT_A_NUMBER, WAVE_CHANGED, WAVE_UNREADABLE
   */
  read(stemFrame: number, into: readonly Float64Array[]): void
  /** @throws SumwellError WAVE_CHANGED where a source was written to since it was opened */
  refuseChanged(): void
  close(): void
}

/** @throws SumwellError WAVE_… */
export const openMix = (
  stem: PlannedStem,
  sources: readonly PlannedSource[],
  open: OpensPart = openPart,
): StemMix => {
  const parts: OpenPart[] = []
  const close = (): void => {
    for (const part of parts) part.close()
  }
  try {
    for (const part of stem.parts) {
      const planned = sources.find(({ key }) => key === part.key)
      if (planned === undefined) throw new Error(`the plan has no source ${part.key}`)
      parts.push(open(part, planned, stem))
    }
  } catch (error) {
    close()
    throw error
  }
  return {
    parts,
    read: mixer(parts, stem.channels),
    refuseChanged: () => {
      refuseChanged(parts)
    },
    close,
  }
}

const mixer = (parts: readonly OpenPart[], channels: number): StemMix['read'] => {
  const [only] = parts
  return parts.length === 1 && only?.channels === channels ? single(only) : sum(parts)
}

// The part's own buffers are those of the stem: nothing is added to anything.
const single =
  (open: OpenPart): StemMix['read'] =>
  (stemFrame, into) => {
    const { gain } = open.part
    if (!open.read(stemFrame, into)) for (const samples of into) samples.fill(0)
    else if (gain !== 1) for (const samples of into) scale(samples, gain)
  }

const sum = (parts: readonly OpenPart[]): StemMix['read'] => {
  let scratch: Float64Array[] = []
  return (stemFrame, into) => {
    const frames = into[0]?.length ?? 0
    for (const samples of into) samples.fill(0)
    const widest = Math.max(0, ...parts.map(part => part.channels))
    if (scratch.length < widest || scratch[0]?.length !== frames) {
      scratch = Array.from({ length: widest }, () => float64(frames))
    }
    for (const open of parts) {
      const sound = scratch.slice(0, open.channels)
      if (!open.read(stemFrame, sound)) continue
      into.forEach((total, channel) => {
        addScaled(total, sound[open.channels === 1 ? 0 : channel]!, open.part.gain)
      })
    }
  }
}

const refuseChanged = (parts: readonly OpenPart[]): void => {
  const changed = parts.flatMap(({ source }) => source.files.filter(file => file.changed()))
  if (changed.length === 0) return
  throw new SumwellError(
    changed.map(({ path }) =>
      fault('WAVE_CHANGED', 'the file was written to while it was read', {
        file: path,
        mend: 'wait until the recording or copying has ended, then run again',
      }),
    ),
  )
}
