import { existsSync } from 'node:fs'
import type { Depth } from '../recipe/session.js'
import { roundToGrid, TpdfQuantiser } from '../signal/dither.js'
import { slateSignal } from '../signal/slate.js'
import { fault, SumwellError } from '../terms/fault.js'
import { createWave } from '../wave/wave-writer.js'

export interface SlateWish {
  readonly path: string
  /** At least 40 kHz. */
  readonly sampleRateHz: number
  readonly depth: Exclude<Depth, 32>
  /** What stands under the name may be replaced. */
  readonly force: boolean
}

export interface WrittenSlate {
  readonly seconds: number
  readonly bytes: number
}

/**
 * Writes the slate as a mono WAVE file: the same wish gives the same bytes. It appears under its name only when it is whole.
 * @throws SumwellError USAGE_ARGUMENTS for a name that does not end in .wav, WRITE_EXISTS, WRITE_…
 */
export const writeSlate = ({ path, sampleRateHz, depth, force }: SlateWish): WrittenSlate => {
  if (!/\.wav$/i.test(path)) {
    throw new SumwellError(
      fault('USAGE_ARGUMENTS', `${path} does not end in .wav`, {
        file: path,
        expected: 'the name of a WAVE file to write',
        mend: `write ${path}.wav`,
      }),
    )
  }
  if (!force && existsSync(path)) {
    throw new SumwellError(
      fault('WRITE_EXISTS', `${path} is there already, and was left as it is`, {
        file: path,
        mend: 'choose another name, or replace it with --force',
      }),
    )
  }
  const slate = slateSignal(sampleRateHz)
  if (depth === 16) new TpdfQuantiser(16, 1, 'sumwell slate').quantise([slate])
  else if (depth === 24) roundToGrid([slate], 24)
  const writer = createWave({
    path,
    sampleRateHz,
    channels: 1,
    frames: slate.length,
    depth,
    metadata: {
      description: 'Slate: sweep 40 Hz to 16 kHz, -20 dBFS, then upside down. Start low.',
      stampSamples: null,
      originator: 'Sumwell',
      codingHistory: [],
    },
  })
  try {
    writer.write([slate], slate.length)
    const { bytes } = writer.commit()
    return { seconds: slate.length / sampleRateHz, bytes }
  } finally {
    writer.discard()
  }
}
