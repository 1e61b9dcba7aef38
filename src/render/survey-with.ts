import type { Plan, StemPart } from '../decide/plan.js'
import type { Survey } from '../decide/survey.js'
import type { Pooled } from '../terms/task.js'
import { stemInput } from './stem-input.js'
import type { renderTasks } from './tasks.js'

/** Answers what `decide` asks, by dry passes over the audio in the given tasks. */
export const surveyWith = (tasks: Pooled<typeof renderTasks>): Survey => ({
  stemPeaks: async (draft, fileNames) => {
    const stems = draft.stems.filter(stem => fileNames.includes(stem.fileName))
    const peaks = await Promise.all(stems.map(stem => tasks.surveyStem(stemInput(draft, stem))))
    return new Map(stems.map((stem, i) => [stem.fileName, peaks[i]!]))
  },
  headPeaks: async draft => {
    const heads = lostHeads(draft)
    const peaks = await Promise.all(heads.map(head => tasks.surveyHead(head)))
    return new Map(heads.map(({ source }, i) => [source.key, peaks[i]!]))
  },
  quietSpots: stretches => Promise.all(stretches.map(stretch => tasks.surveyQuiet(stretch))),
})

const lostHeads = (draft: Plan) =>
  draft.sources.flatMap(source => {
    const parts = draft.stems.flatMap(stem => (stem.aligned ? stem.parts : []))
    const lost = Math.max(0, ...parts.filter(({ key }) => key === source.key).map(lostFrames))
    return lost === 0 ? [] : [{ source, frames: Math.min(lost, source.facts.frames) }]
  })

const lostFrames = (part: StemPart): number => {
  const first = part.follow === null ? part.atSamples : part.recordedAtSamples + part.follow[0]!.shiftSamples
  return Math.max(0, Math.ceil(-first))
}
