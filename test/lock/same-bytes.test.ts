import { copyFileSync, existsSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import fc from 'fast-check'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { expectFreshBuild } from '../end-to-end/setting/sumwell.js'
import {
  library,
  path,
  performance,
  type SongFolder,
  songFolder,
  sumsUnder,
  withMetadata,
} from './setting/small-song.js'

/** More of them: `SUMWELL_EDIT_RUNS=40`. Each is a song with several edits, each edit is rendered twice. */
const RUNS = Number(process.env['SUMWELL_EDIT_RUNS'] ?? 1)
const EDITS = RUNS === 1 ? { minLength: 2, maxLength: 3 } : { minLength: 4, maxLength: 8 }

/** What a song is made of; an edit changes one thing of it. */
interface State {
  readonly share: number
  readonly take: Readonly<Record<'piezo' | 'bridge' | 'top' | 'bottom', number>>
  readonly note: string
  readonly aim: 'arrival' | 'fullness'
  readonly hold: 'reference' | 'latest'
  readonly nudge: number
  readonly stated: string
  readonly depth: string
  readonly reamp: boolean
  readonly roomy: boolean
  readonly search: number
  readonly remeasure: boolean
}

const START: State = {
  share: 50,
  take: { piezo: 1, bridge: 1, top: 1, bottom: 1 },
  note: '',
  aim: 'arrival',
  hold: 'reference',
  nudge: 0,
  stated: 'measured',
  depth: '24',
  reamp: false,
  roomy: false,
  search: 20,
  remeasure: false,
}

const edit: fc.Arbitrary<(state: State) => State> = fc.oneof(
  fc.integer({ min: 10, max: 90 }).map(share => (s: State) => ({ ...s, share })),
  fc
    .tuple(fc.constantFrom('piezo', 'bridge', 'top', 'bottom'), fc.integer({ min: 1, max: 3 }))
    .map(([name, take]) => (s: State) => ({ ...s, take: { ...s.take, [name]: take } })),
  fc.constantFrom('', 'slated by hand', 'reel two').map(note => (s: State) => ({ ...s, note })),
  fc.constantFrom('arrival' as const, 'fullness' as const).map(aim => (s: State) => ({ ...s, aim })),
  fc.constantFrom('reference' as const, 'latest' as const).map(hold => (s: State) => ({ ...s, hold })),
  fc.integer({ min: 0, max: 3 }).map(nudge => (s: State) => ({ ...s, nudge })),
  fc.constantFrom('measured', 'as-recorded', '30 samples').map(stated => (s: State) => ({ ...s, stated })),
  fc.constantFrom('16', '24', '32f').map(depth => (s: State) => ({ ...s, depth })),
  fc.boolean().map(reamp => (s: State) => ({ ...s, reamp })),
  fc.boolean().map(roomy => (s: State) => ({ ...s, roomy })),
  fc.constantFrom(15, 20).map(search => (s: State) => ({ ...s, search })),
  fc.constant((s: State) => ({ ...s, remeasure: true })),
  fc.constant((s: State) => s),
)

const recipeOf = (s: State): string => `recipe: 1
song: Edits
groups:
  bass:
    reference: piezo
    sources:
      piezo: { file: piezo.wav, via: pickup }
      bridge: { file: bridge.wav, via: mic, nudge: ${s.nudge} ms, lag: ${s.stated} }
${s.reamp ? '      amp: { file: amp.wav, via: reamp }\n' : ''}    align: { aim: ${s.aim}, hold: ${s.hold}, search: ${s.search} ms }
    blends:
      both: { parts: { piezo: ${s.share}, bridge: ${100 - s.share} } }
${s.roomy ? '      louder: { parts: { piezo: 3 dB, bridge: 2 dB }, match: none }\n' : ''}  snare:
    reference: top
    sources: { top: top.wav, bottom: bottom.wav }
    blends:
      snare: { parts: { top: 60, bottom: 40 } }
deliver: { folder: stems, depth: ${s.depth} }
`

/** A take of a source is the same performance with the stand elsewhere. */
const soundOf = (() => {
  const made = new Map<string, Buffer>()
  return (name: string, take: number): Buffer => {
    const key = `${name} ${take}`
    const late = { piezo: 0, bridge: 30, amp: 60, top: 0, bottom: 4 }[name]! + (take - 1) * 1.5
    const gain = name === 'bottom' ? -0.5 : 0.4 + 0.1 * take
    const [bytes] = performance([path(late, gain)], name === 'top' || name === 'bottom' ? 2 : 1)
    if (!made.has(key)) made.set(key, bytes!)
    return made.get(key)!
  }
})()

const lay = (song: SongFolder, state: State): void => {
  song.write('recipe.yaml', recipeOf(state))
  for (const [name, take] of Object.entries(state.take)) {
    song.write(`${name}.wav`, withNote(soundOf(name, take), name === 'bridge' ? state.note : ''))
  }
  if (state.reamp) song.write('amp.wav', soundOf('amp', 1))
}

const withNote = (bytes: Buffer, note: string): Buffer => (note === '' ? bytes : withMetadata(bytes, note))

let cache: SongFolder
beforeAll(() => {
  expectFreshBuild()
  cache = songFolder()
})
afterAll(() => {
  cache.remove()
})

test('a blend with other shares finds the spectra of its group, and has the bytes of a full run', async () => {
  const song = songFolder()
  const fresh = songFolder()
  const own = songFolder()
  try {
    const runs = [50, 20, 80].map(share => ({ ...START, share, roomy: true }))
    const spectraKept: number[] = []
    for (const state of runs) {
      lay(song, state)
      lay(fresh, state)
      if (existsSync(song.lock)) copyFileSync(song.lock, fresh.lock)
      rmSync(fresh.stems, { recursive: true, force: true })
      const options = { audio: true, jobs: 2 }
      await library.render(song.recipe, { ...options, cacheFolder: own.folder })
      await library.render(fresh.recipe, options)
      expect(sumsUnder(song.stems)).toEqual(sumsUnder(fresh.stems))
      spectraKept.push(entriesNamed(own.folder, 'tone sums'))
    }
    // Two groups, once: the second and third run took them from there.
    expect(spectraKept).toEqual([2, 2, 2])
  } finally {
    for (const one of [song, fresh, own]) one.remove()
  }
}, 120_000)

/** Entries of a cache that hold a certain thing. */
const entriesNamed = (folder: string, what: string): number =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter(entry => entry.isFile())
    .map(entry => readFileSync(join(entry.parentPath, entry.name)).subarray(64))
    .filter(body => body.includes(`\n${what}\n`)).length

test(
  'whatever was edited, what is left of earlier runs gives the same bytes as a run without them',
  async () => {
    let compared = 0
    let files = 0
    await fc.assert(
      fc.asyncProperty(fc.array(edit, EDITS), async edits => {
        const song = songFolder()
        const fresh = songFolder()
        try {
          let state = START
          for (const change of [(s: State) => s, ...edits]) {
            state = change({ ...state, remeasure: false })
            lay(song, state)
            lay(fresh, state)
            if (existsSync(song.lock)) copyFileSync(song.lock, fresh.lock)
            rmSync(fresh.stems, { recursive: true, force: true })
            const remeasure = state.remeasure ? ('everything' as const) : []
            const options = { audio: false, jobs: 2, remeasure }
            await library.render(song.recipe, { ...options, cacheFolder: cache.folder })
            await library.render(fresh.recipe, options)
            const [left, made] = [sumsUnder(song.stems), sumsUnder(fresh.stems)]
            for (const [name, sum] of Object.entries(made))
              expect(left[name], `${name}\n${recipeOf(state)}`).toBe(sum)
            expect(readFileSync(song.lock, 'utf8')).toBe(readFileSync(fresh.lock, 'utf8'))
            compared += 1
            files += Object.keys(made).length
          }
        } finally {
          song.remove()
          fresh.remove()
        }
      }),
      { numRuns: RUNS, seed: Number(process.env['SUMWELL_EDIT_SEED'] ?? 7) },
    )
    expect(compared).toBeGreaterThanOrEqual(RUNS * (EDITS.minLength + 1))
    expect(files).toBeGreaterThanOrEqual(9 * compared)
    if (RUNS > 1) process.stdout.write(`${RUNS} songs, ${compared} edits, ${files} files compared\n`)
  },
  300_000 * RUNS,
)
