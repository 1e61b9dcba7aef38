import { basename } from 'node:path'
import type { Plan, PlannedStem } from '../../decide/plan.js'
import type { Session, SessionGroup } from '../../recipe/session.js'
import type { DeskBlend } from '../../report/desk/desk.js'
import { deskBlend } from '../../report/desk/strips.js'
import { type CellFigures, figuresOf } from '../../report/explore/cell-figures.js'
import { type Choices, cellsOf, choicesOf } from '../../report/explore/choices.js'
import type { Exploration } from '../../report/explore/exploration.js'
import { writtenCell } from '../../report/explore/written-cell.js'
import type { SoundBytes } from '../../report/listen/listen.js'
import { passagesOf } from '../../report/listen/passages-of.js'
import type { Warning } from '../../terms/warning.js'
import type { GroupLook } from '../../tone/tone-of-plan.js'
import { toneOfPlan } from '../../tone/tone-of-plan.js'
import type { MemoryWish } from '../memory/memory.js'
import type { SongPool } from '../open-pool.js'
import type { Progress } from '../progress.js'
import { tool } from '../tool.js'
import { freeName, groupToExplore, onlyWith } from './explored-session.js'
import { planSong } from './plan-song.js'

/** Length of the excerpts where the recipe names no stretch, seconds. */
const EXCERPT_SECONDS = 8

export interface ExploredGroup {
  readonly exploration: Exploration
  /** What the page plays. */
  readonly sounds: SoundBytes
  readonly warnings: readonly Warning[]
}

interface Seen {
  readonly equal: DeskBlend
  readonly choices: Choices
  readonly figures: readonly (CellFigures | null)[]
}

const seenOf = (session: Session, plan: Plan, group: SessionGroup, look: GroupLook): Seen => {
  const [inView] = look.blends
  const equal = deskBlend(session, plan, inView!)
  const choices = choicesOf({
    reference: group.reference,
    sources: equal.strips.map(({ source, polarity }) => ({
      name: source,
      polarity,
      isGroup: group.sources.find(({ name }) => name === source)!.kind === 'group',
    })),
  })
  return {
    equal,
    choices,
    figures: cellsOf(choices).map(cell => figuresOf(look.seen, inView!, equal, cell)),
  }
}

const look = async (session: Session, plan: Plan, group: SessionGroup, pool: SongPool): Promise<Seen> => {
  const stems = plan.stems.filter((stem: PlannedStem) => stem.kind === 'blend' && stem.group === group.name)
  let seen: Seen | null = null
  await toneOfPlan({ ...plan, stems }, null, pool.rooms.tone, found => {
    seen = seenOf(session, plan, group, found)
  })
  return seen!
}

/**
 * The blends of a group side by side: lined up as a render would, from its lock where that stands, and as recorded. Writes nothing.
 * @throws SumwellError USAGE_ARGUMENTS as `groupToExplore`; what reading and planning throw; INTERRUPTED
 */
export const exploreGroup = async (
  whole: Session,
  groupName: string,
  pool: SongPool,
  progress: Progress,
  memory: MemoryWish,
): Promise<ExploredGroup> => {
  const group = groupToExplore(whole, groupName)
  const name = freeName(whole)
  const session = onlyWith(whole, group, name)
  const options = { strict: false, locked: false, remeasure: 'nothing', memory } as const
  const { plan, measurement, memory: kept } = await planSong(session, pool, progress, options)
  progress.stage({ song: session.song, doing: 'comparing the tone', audioSeconds: null })
  const only = { ...session, groups: session.groups.filter(one => one.name === group.name) }
  const [{ equal, choices, figures }, { listens, bytes }] = await Promise.all([
    look(session, plan, group, pool),
    passagesOf(only, plan, kept.rooms.report, { longestSeconds: EXCERPT_SECONDS }),
  ])
  const about = {
    recipeFile: basename(session.recipeFile),
    song: session.song,
    group: group.name,
    name,
    equal,
  }
  return {
    exploration: {
      tool: tool(),
      song: session.song,
      take: session.take,
      recipeFile: basename(session.recipeFile),
      group: group.name,
      sampleRateHz: group.sampleRateHz,
      listen: listens.get(group.name)!,
      equal,
      choices,
      figures,
      written: cellsOf(choices).map(cell => writtenCell({ ...about, cell })),
      // Those of groups inside are told by their whole name.
      moves: plan.sources.map(({ key, source, group: own, move }) => ({
        source: own === group.name ? source : key,
        because: move.because,
      })),
    },
    sounds: bytes,
    // The ceiling is met by a blend that nobody delivers.
    warnings: [...measurement.warnings, ...plan.warnings].filter(({ code }) => code !== 'CEILING'),
  }
}
