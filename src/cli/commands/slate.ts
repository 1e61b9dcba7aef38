import { writeSlate } from '../../jobs/write-slate.js'
import { optionsOf } from '../options.js'
import { runCommand } from '../run.js'
import type { SLATE_DEPTHS, SLATE_RATES_HZ } from '../slate-choices.js'

/** Options of `slate` as the command line leaves them. */
export interface SlateOptions {
  readonly rate: (typeof SLATE_RATES_HZ)[number]
  readonly depth: (typeof SLATE_DEPTHS)[number]
  readonly force?: true
  readonly quiet?: true
  readonly color: boolean
}

export const slate = (path: string, given: SlateOptions): Promise<void> => {
  const { rate: sampleRateHz, depth, force = false, quiet, color } = given
  const options = optionsOf({ color, ...(quiet === undefined ? {} : { quiet }) })
  return runCommand(options, () =>
    Promise.resolve().then(() => {
      const { seconds } = writeSlate({ path, sampleRateHz, depth, force })
      const word = depth === '32f' ? '32 bit float' : `${depth} bit`
      return {
        songs: [],
        text: () =>
          `${path}: ${seconds} s, ${sampleRateHz / 1000} kHz, ${word}, sweeps at −20 dBFS\n${CAUTION}\n`,
        warnings: [],
        warningsInText: true,
        faults: [],
      }
    }),
  )
}

const CAUTION = `Before you play it: turn monitors, headphones and amplifiers all the way down, start, and come up slowly.
Nobody with headphones on, no ear near a loudspeaker. It rises to 16 kHz: a tweeter takes far less than a woofer.`
