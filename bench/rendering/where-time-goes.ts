import { noMemory } from '../../src/jobs/memory/memory.js'
import { silentProgress } from '../../src/jobs/progress.js'
import { renderSong } from '../../src/jobs/song/render-song.js'
import { measureTasks } from '../../src/measure/tasks.js'
import { loadSession } from '../../src/recipe/load-session.js'
import { renderTasks } from '../../src/render/tasks.js'
import { reportTasks } from '../../src/report/tasks.js'
import { inArena } from '../../src/signal/kernel/arena.js'
import { inProcess, type Task, type TaskContext } from '../../src/terms/task.js'
import { toneTasks } from '../../src/tone/tasks.js'
import { verifyTasks } from '../../src/verify/tasks.js'
import { probeWave } from '../../src/wave/probe.js'

interface Spent {
  runs: number
  seconds: number
}

const done = (): Promise<void> => Promise.resolve()

const processorSeconds = (): number => {
  const { user, system } = process.cpuUsage()
  return (user + system) / 1e6
}

/** The tasks of a room, one at a time, with what each takes noted down. */
const counted = <Table extends object>(room: string, tasks: Table, spent: Map<string, Spent>): Table => {
  const entries = Object.entries(tasks) as [string, Task<unknown, unknown>][]
  const wrapped = entries.map(([name, task]): [string, Task<unknown, unknown>] => [
    name,
    (input: unknown, context: TaskContext) =>
      inTurn(async () => {
        const before = processorSeconds()
        const output = await inArena(() => task(input, context))
        const so = spent.get(`${room} ${name}`) ?? { runs: 0, seconds: 0 }
        spent.set(`${room} ${name}`, { runs: so.runs + 1, seconds: so.seconds + processorSeconds() - before })
        return output
      }),
  ])
  return Object.fromEntries(wrapped) as Table
}

let last: Promise<unknown> = Promise.resolve()
const inTurn = <Result>(work: () => Promise<Result>): Promise<Result> => {
  const next = last.then(work, work)
  last = next.catch(() => undefined)
  return next
}

/** Processor seconds of one render by task, the most costly first: rows of a table. */
export const whereTimeGoes = async (recipe: string): Promise<readonly (readonly string[])[]> => {
  const spent = new Map<string, Spent>()
  const before = processorSeconds()
  await renderSong(
    await loadSession(recipe, { allowOutside: false, probe: probeWave }),
    {
      rooms: {
        measure: inProcess(counted('measure', measureTasks, spent)),
        render: inProcess(counted('render', renderTasks, spent)),
        tone: inProcess(counted('tone', toneTasks, spent)),
        report: inProcess(counted('report', reportTasks, spent)),
        verify: inProcess(verifyTasks),
      },
      threads: 1,
      rest: done,
      stop: done,
      close: done,
    },
    silentProgress,
    {
      strict: false,
      locked: false,
      remeasure: 'nothing',
      memory: noMemory,
      signal: new AbortController().signal,
      madeAt: null,
      audio: true,
      prune: false,
    },
  )
  const all = processorSeconds() - before
  const tasks = [...spent].sort((a, b) => b[1].seconds - a[1].seconds)
  const rest = all - tasks.reduce((sum, [, { seconds }]) => sum + seconds, 0)
  const row = (name: string, runs: string, seconds: number): string[] => [
    name,
    runs,
    seconds.toFixed(2),
    `${((100 * seconds) / all).toFixed(0)} %`,
  ]
  return [
    ...tasks.map(([name, { runs, seconds }]) => row(name, String(runs), seconds)),
    row('everything else: decisions, curves, the page', '', rest),
  ]
}
