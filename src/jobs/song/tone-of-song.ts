import type { Plan } from '../../decide/plan.js'
import type { Session } from '../../recipe/session.js'
import type { MadeStems, StandingStems } from '../../render/render-plan.js'
import type { RenderedStem } from '../../render/rendered.js'
import type { Desk } from '../../report/desk/desk.js'
import { deskOf } from '../../report/desk/desk-of.js'
import { neighboursOfPlan } from '../../tone/neighbours/neighbours-of-plan.js'
import type { BlendTone } from '../../tone/tone.js'
import { type GroupLook, toneOfPlan } from '../../tone/tone-of-plan.js'
import type { Memory } from '../memory/memory.js'

/** What was heard of all blends of a song. */
export interface SongTone {
  /** In the order of the plan. */
  readonly tones: readonly BlendTone[]
  /** By group. */
  readonly desks: ReadonlyMap<string, Desk>
}

interface GroupTone {
  readonly tones: readonly BlendTone[]
  readonly desk: Desk | null
}

/** Stems that lie in the workshop, or are still being made, or are in their places already: the same plan, each stem where it is now. */
export interface LyingStems {
  readonly plan: Plan
  /** In the order of the plan. */
  readonly rendered: Promise<readonly RenderedStem[]>
}

/** @param whereNow Where a stem that is not in its place yet lies. */
export const lyingStems = (
  plan: Plan,
  making: Promise<MadeStems>,
  standing: StandingStems,
  whereNow: (stem: Plan['stems'][number]) => string,
): LyingStems => {
  const here = <Stem extends { readonly file: string }>(stems: readonly Stem[]): readonly Stem[] =>
    stems.map((stem, i) => {
      const planned = plan.stems[i]!
      return { ...stem, file: standing.has(planned.fileName) ? planned.file : whereNow(planned) }
    })
  const rendered = making.then(made => here(made.rendered))
  rendered.catch(() => undefined) // told by `making` itself; here nobody may be listening yet
  return { plan: { ...plan, stems: here(plan.stems) }, rendered }
}

/**
 * The tone of the blends of a plan. The recordings are looked at as soon as threads are free, group by group; a group of which nothing changed is
 * remembered.
 */
export const toneOfSong = async (
  session: Session,
  plan: Plan,
  lying: LyingStems,
  { rooms, recall }: Memory,
): Promise<SongTone> => {
  const desks = new Map<string, Desk>()
  const found = new Map<string, readonly BlendTone[]>()
  const blends = plan.stems.filter(({ kind }) => kind === 'blend')
  for (const name of new Set(blends.map(({ group }) => group))) {
    const one = await recall('tone of group', askedOf(session, plan, name), async (): Promise<GroupTone> => {
      let desk: Desk | null = null
      const stems = lying.plan.stems.filter(({ kind, group }) => kind === 'blend' && group === name)
      const see = (look: GroupLook): void => {
        desk = deskOf(session, plan, look)
      }
      const tones = await toneOfPlan({ ...lying.plan, stems }, lying.rendered, rooms.tone, see, recall)
      return { tones, desk }
    })
    found.set(name, one.tones)
    if (one.desk !== null) desks.set(name, one.desk)
  }
  const next = new Map([...found.keys()].map(name => [name, 0]))
  const tones = blends.map(({ group }) => {
    const i = next.get(group)!
    next.set(group, i + 1)
    return found.get(group)![i]!
  })
  return { tones, desks }
}

/** What the groups do to each other, heard in the stems. */
export const neighboursOfSong = (
  { beatsInBar }: Session,
  plan: Plan,
  lying: LyingStems,
  { rooms, recall }: Memory,
) => {
  const { tempoBpm } = plan
  const asked = {
    tempoBpm,
    beatsInBar,
    sources: plan.sources.map(sourceAsked),
    stems: plan.stems.map(stemAsked),
  }
  return recall('neighbours', asked, () =>
    neighboursOfPlan(lying.plan, lying.rendered, rooms.tone, beatsInBar),
  )
}

/** Everything that the tone and the desk of a group depend on; the folder of delivery is none of it, nor what files are called. */
const askedOf = (session: Session, plan: Plan, name: string): unknown => {
  const names = groupsFor(session, name)
  const isOurs = ({ group }: { readonly group: string }): boolean => names.has(group)
  return {
    name,
    groups: session.groups
      .filter(group => names.has(group.name))
      .map(group => ({
        ...group,
        sources: group.sources.map(source =>
          source.kind === 'file' ? { ...source, fileShown: null, pieces: null } : source,
        ),
      })),
    sources: plan.sources.filter(isOurs).map(sourceAsked),
    stems: plan.stems.filter(stem => isOurs(stem) && stem.kind === 'blend').map(stemAsked),
    turnDownDb: plan.turnDownDb,
  }
}

const sourceAsked = (source: Plan['sources'][number]) => ({ ...source, fileShown: null, sha256: null })

const stemAsked = (stem: Plan['stems'][number]) => ({ ...stem, file: null, fileName: null })

/** A group, and those that are sources of it at whatever depth. */
const groupsFor = (session: Session, name: string): ReadonlySet<string> => {
  const inside = session.groups
    .find(group => group.name === name)!
    .sources.flatMap(source => (source.kind === 'group' ? [...groupsFor(session, source.group)] : []))
  return new Set([name, ...inside])
}
