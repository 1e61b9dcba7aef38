import { fault, SumwellError } from './fault.js'

/**
 * Any error at all as one that can be shown: ours stay as they are, everything else is a bug of ours and becomes INTERNAL.
 * The original, with its stack, stays in `cause`.
 * @param doing What was being done, in words that fit after "while": "measuring audio/bass.wav".
 */
export const asSumwellError = (error: unknown, doing: string): SumwellError => {
  if (error instanceof SumwellError) return error
  const what = error instanceof Error ? error.message : String(error)
  return new SumwellError(
    fault('INTERNAL', `a fault in Sumwell itself, while ${doing}: ${what}`, {
      mend: 'no recording was changed. Please report it where you got Sumwell from, with this text and the recipe; SUMWELL_DEBUG=1 adds the details',
    }),
    error,
  )
}
