import type { Pooled } from '../../terms/task.js'
import { pairOf } from '../group/gather.js'
import type { GroupTask } from '../group/group-input.js'
import { runPass, searchGrid } from '../group/passes.js'
import type { Polarity } from '../measurement.js'
import type { measureTasks } from '../tasks.js'
import { judgePair } from '../verdict/judge-pair.js'

/** A recording of which nothing is known but its file. All of one call have the same sample rate. */
export interface FileToRelate {
  readonly file: string
  readonly channels: number
  readonly frames: number
  /** Where its first frame lies against the others, frames: from the time stamps, 0 without. */
  readonly startFrame: number
}

/** What two recordings share. */
export interface Relation {
  /** Indices into the files. */
  readonly first: number
  readonly second: number
  /** False where they share no more than unrelated tracks would: all else is null then. */
  readonly related: boolean
  /** Share of the energy of the one that has less of it, 0 … 1: the sound that both hold. */
  readonly commonEnergy: number | null
  /** Mean magnitude-squared coherence over the band that both share, 0 … 1. */
  readonly coherence: number | null
  /** How late the second arrives, frames, to a frame or so: one coarse look. **Positive: late against the first.** */
  readonly lagSamples: number | null
  readonly polarity: Polarity | null
}

export interface RelateOptions {
  readonly sampleRateHz: number
  /** How far apart two paths may be. */
  readonly searchSeconds: number
  /** Stretch of the common time to look at, seconds; null = everything. */
  readonly passage: { readonly startSeconds: number; readonly endSeconds: number } | null
  /** Pairs to look at; all by default. */
  readonly pairs?: readonly (readonly [number, number])[]
}

/**
 * Which of several recordings hold the same sound, pair by pair, by one coarse pass over their first channels. The rules are those of
 * `judgePair`: related is what it does not call unknown. Order of the pairs: as given, else by first, then second.
 * @throws SumwellError from reading the files; INTERRUPTED
 */
export const relateFiles = async (
  files: readonly FileToRelate[],
  { sampleRateHz, searchSeconds, passage, pairs = allPairs(files.length) }: RelateOptions,
  tasks: Pooled<typeof measureTasks>,
): Promise<readonly Relation[]> => {
  if (pairs.length === 0) return []
  const longest = files.reduce((best, file, i) => (file.frames > files[best]!.frames ? i : best), 0)
  const task: GroupTask = {
    sampleRateHz,
    members: files.map(({ file, frames, startFrame }) => ({ name: file, channels: 1, frames, startFrame })),
    reference: longest,
    searchSeconds,
    passage: passage === null ? null : [passage],
  }
  const inputs = files.map(({ file, channels }) => ({
    file,
    selection: channels === 1 ? ({ kind: 'all' } as const) : ({ kind: 'pick', index: 0 } as const),
  }))
  const gathered = await runPass(
    task,
    (plan, segment) => tasks.sumSpectra({ files: inputs, plan, segment }),
    {
      grid: searchGrid(task, searchSeconds),
      traces: files.map((_, source) => ({ source, channel: 0 })),
      pairs,
      shifts: files.map(() => 0),
      gates: files.map(() => 0),
    },
  )
  const reach = searchSeconds * sampleRateHz
  return Promise.all(
    pairs.map(async ([first, second], p): Promise<Relation> => {
      const { sums, whole, folds } = pairOf(gathered, p)
      const estimate = await tasks.estimatePair({ sums, whole, folds, low: -reach, high: reach })
      const judged = judgePair(
        { estimate, shiftSamples: 0, beyondSamples: null },
        { sampleRateHz, searchSamples: reach },
      )
      if (estimate === null || judged.lag === 'unknown') return { first, second, ...UNRELATED }
      return {
        first,
        second,
        related: true,
        commonEnergy: estimate.commonEnergy,
        coherence: estimate.coherence,
        lagSamples: estimate.lagSamples,
        polarity: estimate.sign === 1 ? 'normal' : 'inverted',
      }
    }),
  )
}

const UNRELATED = {
  related: false,
  commonEnergy: null,
  coherence: null,
  lagSamples: null,
  polarity: null,
} as const

const allPairs = (count: number): readonly (readonly [number, number])[] =>
  Array.from({ length: count }, (_, first) =>
    Array.from({ length: count - first - 1 }, (_, n): [number, number] => [first, first + 1 + n]),
  ).flat()
