import type { BlendTone } from '../../tone/tone.js'
import type { ReportGroup } from '../report.js'

/** A stretch of the timeline of the stems that the page can play, seconds. */
export interface PlayedPassage {
  readonly startSeconds: number
  readonly endSeconds: number
}

export interface LostNote {
  readonly name: string
  /** Where it sounds: in the passage if it does there, else where it first does; null where that is not known. */
  readonly atSeconds: number | null
  readonly lossBeforeDb: number
  readonly lossAfterDb: number
}

/** So many notes are told of. */
const TOLD = 5
/** A loss below this is nothing to tell of, dB. */
const LEAST_DB = 1
/** A note that begins nearer to the end of the passage is cut off there. */
const LEAST_SECONDS = 0.5

/** The stretch of the take that the page can play, seconds; null where it holds no sound. */
export const passageOf = ({ listen, sampleRateHz }: ReportGroup): PlayedPassage | null =>
  listen === null
    ? null
    : { startSeconds: listen.startSeconds, endSeconds: listen.startSeconds + listen.frames / sampleRateHz }

const momentOf = (moments: readonly number[], passage: PlayedPassage | null): number | null =>
  moments.find(
    at => passage !== null && at >= passage.startSeconds && at <= passage.endSeconds - LEAST_SECONDS,
  ) ??
  moments[0] ??
  null

/** The notes that had lost most as recorded, by what they had lost and weigh, in the order of time. */
export const notesThatLostMost = (tone: BlendTone, passage: PlayedPassage | null): readonly LostNote[] =>
  tone.semitones
    .flatMap(({ name, lossBeforeDb, lossAfterDb, energyShare, soundsAtSeconds }) =>
      lossBeforeDb === null || lossAfterDb === null || lossBeforeDb < LEAST_DB
        ? []
        : [
            {
              weight: lossBeforeDb * energyShare,
              note: { name, atSeconds: momentOf(soundsAtSeconds, passage), lossBeforeDb, lossAfterDb },
            },
          ],
    )
    .sort((a, b) => b.weight - a.weight)
    .slice(0, TOLD)
    .map(({ note }) => note)
    .sort((a, b) => (a.atSeconds ?? 0) - (b.atSeconds ?? 0))
