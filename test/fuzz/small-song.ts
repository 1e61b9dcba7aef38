import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { decide } from '../../src/decide/decide.js'
import type { Plan } from '../../src/decide/plan.js'
import { planText } from '../../src/decide/plan-text.js'
import { type Contents, contentsWith } from '../../src/lock/cache/contents.js'
import { fileMemory } from '../../src/lock/cache/file-memory.js'
import { lockText } from '../../src/lock/file/lock-text.js'
import type { Lock, LockedStem } from '../../src/lock/lock.js'
import { lockFaults } from '../../src/lock/use/differences.js'
import { plannedLock } from '../../src/lock/use/lock-of.js'
import { type Standing, standingOf } from '../../src/lock/use/standing.js'
import { withLock } from '../../src/lock/use/with-lock.js'
import { measureSession } from '../../src/measure/measure-session.js'
import type { SongMeasurement } from '../../src/measure/measurement.js'
import { measureTasks } from '../../src/measure/tasks.js'
import { loadSession } from '../../src/recipe/load-session.js'
import type { Session } from '../../src/recipe/session.js'
import { surveyWith } from '../../src/render/survey-with.js'
import { renderTasks } from '../../src/render/tasks.js'
import { SumwellError } from '../../src/terms/fault.js'
import { inProcess, quietContext } from '../../src/terms/task.js'
import { type Fingerprint, fingerprintOf } from '../../src/wave/fingerprint.js'
import { probeWave } from '../../src/wave/probe.js'
import { recorded } from '../end-to-end/setting/sound.js'
import { waveBytes } from '../end-to-end/setting/wave-bytes.js'

const RATE_HZ = 16_000
const SECONDS = 1.6

const RECIPE = `recipe: 1
song: Small
take: 4
groups:
  bass:
    reference: piezo
    sources: { piezo: audio/piezo.wav, bridge: { file: audio/bridge.wav, via: mic } }
    blends: { bass: { parts: { piezo: 55, bridge: 45 } } }
deliver: { folder: stems }
`

/** A song of a second and a half, measured: all that is needed to decide from a lock. */
export interface SmallSong {
  /** The text of the lock that a render of it would leave. */
  readonly lock: string
  /** What a render does with a lock until it would write. */
  decideFrom(lock: Lock): Promise<void>
}

interface Measured {
  readonly session: Session
  readonly measurement: SongMeasurement
  readonly contents: Contents
}

const planned = async ({ session, measurement, contents }: Measured, lock: Lock | null) => {
  const standing = standingOf(session, measurement, contents, lock, 'nothing')
  const locked = withLock(session, measurement, standing, lock, 'nothing')
  const plan = await decide(session, locked.measurement, surveyWith(inProcess(renderTasks)), locked.kept)
  return { measurement: locked.measurement, plan, standing }
}

const lockOf = (
  { session, contents }: Measured,
  made: { measurement: SongMeasurement; plan: Plan; standing: readonly Standing[] },
  former: Lock | null,
) => plannedLock({ session, contents, ...made, former, tool: { version: '0.1.0' } })

export const smallSong = async (folder: string): Promise<SmallSong> => {
  mkdirSync(join(folder, 'audio'))
  const paths = [
    { lateSamples: 0, gain: 1, noise: 1e-4 },
    { lateSamples: 40.5, gain: 0.7, noise: 2e-4 },
  ]
  recorded(paths, SECONDS, RATE_HZ, 3).forEach((samples, i) => {
    writeFileSync(join(folder, `audio/${['piezo', 'bridge'][i] ?? ''}.wav`), waveBytes([samples], RATE_HZ))
  })
  const recipe = join(folder, 'recipe.yaml')
  writeFileSync(recipe, RECIPE)
  const session = await loadSession(recipe, { probe: probeWave })
  const contents = contentsWith(fileMemory<Fingerprint>(null, 'sound', true), input =>
    Promise.resolve(fingerprintOf(input, quietContext)),
  )
  await contents.know(
    session.groups.flatMap(group => group.sources.flatMap(s => (s.kind === 'file' ? [s.file] : []))),
  )
  const song = { session, contents, measurement: await measureSession(session, inProcess(measureTasks)) }
  const first = lockOf(song, await planned(song, null), null)
  const sound = { loudnessLufs: -20, evennessDb: 1, firstNotchHz: 300, bandsDb: { low: -3 } }
  const stems = Object.entries(first.stems).map(([name, stem]): [string, LockedStem] => [
    name,
    { ...stem, sha256: 'ab'.repeat(32), sound: stem.kind === 'blend' ? sound : null },
  ])
  return {
    lock: lockText({ ...first, stems: Object.fromEntries(stems), before: null }),
    decideFrom: async lock => {
      const made = await planned(song, lock)
      planText(made.plan)
      const faults = lockFaults(lock, lockOf(song, made, lock), 'recipe.lock.yaml')
      if (faults.length > 0) throw new SumwellError(faults)
    },
  }
}
