import { noMemory } from '../../src/jobs/memory/memory.js'
import type { SongPool } from '../../src/jobs/open-pool.js'
import { silentProgress } from '../../src/jobs/progress.js'
import { type ExploredGroup, exploreGroup } from '../../src/jobs/song/explore-group.js'
import { type RenderedSong, renderSong } from '../../src/jobs/song/render-song.js'
import { measureTasks } from '../../src/measure/tasks.js'
import { loadSession } from '../../src/recipe/load-session.js'
import { renderTasks } from '../../src/render/tasks.js'
import { reportTasks } from '../../src/report/tasks.js'
import { inProcess } from '../../src/terms/task.js'
import { toneTasks } from '../../src/tone/tasks.js'
import { verifyTasks } from '../../src/verify/tasks.js'
import { probeWave } from '../../src/wave/probe.js'

const done = (): Promise<void> => Promise.resolve()

const pool: SongPool = {
  rooms: {
    measure: inProcess(measureTasks),
    render: inProcess(renderTasks),
    tone: inProcess(toneTasks),
    report: inProcess(reportTasks),
    verify: inProcess(verifyTasks),
  },
  threads: 1,
  rest: done,
  stop: done,
  close: done,
}

const load = (recipe: string) => loadSession(recipe, { allowOutside: false, probe: probeWave })

/** The blends of a group side by side, made in this thread. */
export const explored = async (recipe: string, group: string): Promise<ExploredGroup> =>
  exploreGroup(await load(recipe), group, pool, silentProgress, noMemory)

/** The whole line for one recipe, in this thread. */
export const rendered = async (recipe: string, audio: boolean): Promise<RenderedSong> =>
  renderSong(await load(recipe), pool, silentProgress, {
    strict: false,
    locked: false,
    remeasure: 'nothing',
    memory: noMemory,
    signal: new AbortController().signal,
    madeAt: null,
    audio,
    prune: false,
    lags: false,
  })
