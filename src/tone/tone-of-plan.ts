import type { Plan, PlannedStem } from '../decide/plan.js'
import type { RenderedStem } from '../render/rendered.js'
import { madeAnew, type Recall } from '../terms/recall.js'
import type { Pooled } from '../terms/task.js'
import { blendTone, type SeenGroup, seenGroup } from './blend-tone.js'
import { bandWeights } from './check/band-weights.js'
import { checkBlend, sharpSpectra } from './check/check-blend.js'
import type { GroupSpectra } from './predict/cross-spectra.js'
import { rememberedSums } from './spectra/view-sums.js'
import type { toneTasks } from './tasks.js'
import type { BlendTone, ToneCheck } from './tone.js'
import { asDelivered, asPlanned, type BlendInView, viewOf } from './view-of-group.js'

/** Furthest from its place in the view that a part may be delivered and still be predicted to 0.01 dB from there. */
const NEAR_SECONDS = 0.02

/** One group as it was seen: the spectra, and how each of its blends stands in them. */
export interface GroupLook {
  readonly group: string
  readonly seen: SeenGroup
  readonly blends: readonly BlendInView[]
}

/**
 * Tone of every blend of a plan, in the plan's order: as recorded, as delivered, what changes, and, where the stems were written, how
 * the prediction compares with what a filter bank measures on them.
 *
 * Reads the sources once per group, and once more for a blend whose parts are delivered far from where the plan lines them up.
 * `rendered`: null before anything is written (dry run); then `check` is null. A blend that is missing in it has no check either. A
 * promise where the stems are still being written: the sources are looked at meanwhile.
 * `recall` may know the spectra of a group from an earlier run with other shares. `look` is shown each group's spectra, for whoever predicts further from them; they are large, and let go afterwards.
 * @throws SumwellError from reading; INTERRUPTED
 */
export const toneOfPlan = async (
  plan: Plan,
  rendered: readonly RenderedStem[] | null | Promise<readonly RenderedStem[]>,
  tasks: Pooled<typeof toneTasks>,
  look: (group: GroupLook) => void = () => undefined,
  recall: Recall = madeAnew,
): Promise<readonly BlendTone[]> => {
  const blends = plan.stems.filter(stem => stem.kind === 'blend')
  const tones = new Map<PlannedStem, BlendTone>()
  for (const stems of byGroup(blends)) {
    const { view, blends: inView } = viewOf(plan, stems, asPlanned)
    const sums = rememberedSums(view, tasks, recall)
    bandWeights(view.sampleRateHz) // worked out while others work
    const seen = seenGroup(view, await sums)
    look({ group: stems[0].group, seen, blends: inView })
    let sharp: GroupSpectra | null = null
    const stemsWritten = await rendered
    for (const blend of inView) {
      const written = stemsWritten?.find(stem => stem.file === blend.stem.file) ?? null
      if (written !== null && isNear(blend)) sharp ??= sharpSpectra(view, seen.sums)
      const check = written === null ? null : await checkOf(plan, blend, sharp, written, tasks, recall)
      tones.set(blend.stem, { ...blendTone(seen, blend), check })
    }
  }
  return blends.map(stem => tones.get(stem)!)
}

const byGroup = (stems: readonly PlannedStem[]): (readonly [PlannedStem, ...PlannedStem[]])[] => {
  const groups = new Map<string, [PlannedStem, ...PlannedStem[]]>()
  for (const stem of stems) {
    const known = groups.get(stem.group)
    if (known === undefined) groups.set(stem.group, [stem])
    else known.push(stem)
  }
  return [...groups.values()]
}

/** Whether the windows of the view saw the parts where the blend delivers them. */
const isNear = ({ stem, channels }: BlendInView): boolean =>
  channels.every(parts =>
    parts.every(
      ({ part, placement }) =>
        (part.follow === null) === (placement.follow === null) &&
        Math.abs(part.atSamples - placement.atSamples) <= NEAR_SECONDS * stem.sampleRateHz,
    ),
  )

/** `sharp`: of the group's view, for a blend that is near; a blend that is not is looked at once more, where it is delivered. */
const checkOf = async (
  plan: Plan,
  blend: BlendInView,
  sharp: GroupSpectra | null,
  written: RenderedStem,
  tasks: Pooled<typeof toneTasks>,
  recall: Recall,
): Promise<ToneCheck> => {
  const measured = tasks.thirdOctavesOf({ file: written.file })
  if (sharp !== null && isNear(blend)) return checkBlend(blend, sharp, await measured)
  const own = viewOf(plan, [blend.stem], asDelivered)
  const [sums, bank] = await Promise.all([rememberedSums(own.view, tasks, recall), measured])
  return checkBlend(own.blends[0]!, sharpSpectra(own.view, sums), bank)
}
