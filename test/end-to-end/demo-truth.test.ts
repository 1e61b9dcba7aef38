import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { generate } from '../../examples/lantern-street/generate.js'
import { checksumText, readChecksums } from '../../src/render/checksum-list.js'
import { sha256OfFile } from '../../src/wave/hash.js'
import { noted } from '../evidence.js'
import { runPythonFile, testWith } from '../outside/wave-tools.js'
import { samplesOf, secondOpinion } from './setting/second-opinion.js'
import { expectFreshBuild, sumwell } from './setting/sumwell.js'

/**
 * The demo song end to end: what its generator put in (truth.json) is what the program tells, and the stems that it wrote are
 * lined up by the judgement of a measuring that is not its own. The only true values are the generator's.
 */

interface Truth {
  readonly group: string
  readonly source: string
  readonly lateFrames: number
  readonly polarity: 'normal' | 'inverted'
}

interface Measured {
  readonly songs: readonly {
    readonly groups: readonly {
      readonly name: string
      readonly sources: readonly {
        readonly name: string
        readonly lagSamples: number
        readonly polarity: string
        readonly verdict: string
      }[]
    }[]
  }[]
}

const example = fileURLToPath(new URL('../../examples/lantern-street/', import.meta.url))
/** Bands in which pickup and microphone of each group share direct sound. */
const bands: Record<string, readonly [number, number]> = {
  'upright-bass': [250, 3500],
  snare: [150, 3000],
  'acoustic-guitar': [300, 8000],
}
/** design: the arrival lies within -0.1 … +0.2 ms of the air path; the excess is the path's own group delay. Frames at 48 kHz. */
const EARLY_FRAMES = 4.8
const LATE_FRAMES = 9.6

// The second program takes some ten seconds of its own; others on the machine may want theirs.
vi.setConfig({ testTimeout: 300_000 })

let folder = ''
let truth: readonly Truth[] = []

beforeAll(async () => {
  expectFreshBuild()
  if (!existsSync(join(example, 'truth.json')) || audioSums() !== listed('audio')) generate()
  truth = (JSON.parse(readFileSync(join(example, 'truth.json'), 'utf8')) as { sources: Truth[] }).sources
  folder = mkdtempSync(join(tmpdir(), 'sumwell-demo-'))
  for (const name of ['recipe.yaml', 'audio'])
    cpSync(join(example, name), join(folder, name), { recursive: true })
  const watch = fileURLToPath(new URL('setting/no-network.cjs', import.meta.url))
  const rendered = await sumwell(['render', join(folder, 'recipe.yaml'), '--quiet'], {
    environment: { NODE_OPTIONS: `--require "${watch}"`, WATCH_NETWORK: join(folder, 'network') },
  })
  expect(rendered.status, rendered.stderr).toBe(0)
})

afterAll(() => {
  rmSync(folder, { recursive: true, force: true })
})

const late = () => truth.filter(t => t.lateFrames !== 0)
const stem = (name: string) =>
  samplesOf(join(folder, 'stems/lantern_street-take4', `lantern_street_${name.replaceAll('-', '_')}.wav`))
const reference = (group: string) => truth.find(t => t.group === group && t.lateFrames === 0)?.source ?? ''

/** The committed list, in two: the recordings, which the generator makes, and the stems, which a render makes of them. */
const listed = (which: 'audio' | 'stems'): string => {
  const list = [...readChecksums(join(example, 'checksums.txt'))!]
  return checksumText(
    new Map(list.filter(([name]) => name.startsWith('lantern_street_') === (which === 'stems'))),
  )
}
const sumsIn = (place: string): string =>
  checksumText(
    new Map(
      readdirSync(place)
        .filter(name => name.endsWith('.wav'))
        .map(name => [name, sha256OfFile(join(place, name))] as const),
    ),
  )
const audioSums = (): string => sumsIn(join(example, 'audio/take-4'))

describe('the demo song', () => {
  // Where this fails after a change that is meant to change the sound or the method: npm run demo:sums, and look at what changed.
  test('its recordings and its stems have the bytes that they have on every other machine', () => {
    expect(audioSums()).toBe(listed('audio'))
    expect(sumsIn(join(folder, 'stems/lantern_street-take4'))).toBe(listed('stems'))
    expect(listed('audio').split('\n')).toHaveLength(7 + 1)
    expect(listed('stems').split('\n').length).toBeGreaterThan(10)
    for (const line of listed('stems').trim().split('\n')) noted('demo-bytes', line === '' ? 1 : 0)
  })

  test('rendering it asked nothing of the network, in any thread, and changed no recording', () => {
    const seen = readFileSync(join(folder, 'network'), 'utf8').trim().split('\n')
    expect(new Set(seen)).toEqual(new Set(['watching']))
    expect(sumsIn(join(folder, 'audio/take-4'))).toBe(listed('audio'))
    for (const thread of seen) noted('no-network', Number(thread !== 'watching'))
    for (const line of listed('audio').trim().split('\n')) noted('recordings-unchanged', Number(line === ''))
  })

  test('measure tells lag and polarity that the generator put in, and is sure of them', async () => {
    const { status, stdout } = await sumwell(['measure', join(folder, 'recipe.yaml'), '--json', '--quiet'])
    expect(status).toBe(0)
    const groups = (JSON.parse(stdout) as Measured).songs[0]?.groups ?? []
    const told = late().map(t => {
      const source = groups.find(g => g.name === t.group)?.sources.find(s => s.name === t.source)
      return { ...t, source, excess: (source?.lagSamples ?? Number.NaN) - t.lateFrames }
    })
    expect(told).toHaveLength(4)
    for (const t of told) {
      expect(t.source).toMatchObject({ polarity: t.polarity, verdict: 'sure' })
      expect(t.excess, t.source?.name).toBeGreaterThan(-EARLY_FRAMES)
      expect(t.excess, t.source?.name).toBeLessThan(LATE_FRAMES)
      noted('demo-lag', t.excess)
    }
  })

  test('measure tells people what docs/commands.md shows', async () => {
    const page = readFileSync(fileURLToPath(new URL('../../docs/commands.md', import.meta.url)), 'utf8')
    const shown =
      /^ {4}upright-bass, against(?:.*\n {4})*.*$/m.exec(page)?.[0].replace(/^ {4}/gm, '') ?? 'nothing'
    const { stdout } = await sumwell(['measure', join(folder, 'recipe.yaml')])
    expect(stdout).toContain(shown)
    expect(shown.split('\n').length).toBeGreaterThan(4)
  })

  test('the recordings disagree, and the written stems agree, for a measuring of another kind', () => {
    let compared = 0
    for (const t of late()) {
      const before = secondOpinion(
        samplesOf(join(example, 'audio/take-4', fileOf(t.group, reference(t.group)))),
        samplesOf(join(example, 'audio/take-4', fileOf(t.group, t.source))),
        500,
        bands[t.group]!,
      )
      expect(before.polarity, `${t.source} as recorded`).toBe(t.polarity)
      expect(Math.abs(before.lagSamples - t.lateFrames), `${t.source} as recorded`).toBeLessThan(LATE_FRAMES)
      const after = secondOpinion(
        stem(`${t.group}_${reference(t.group)}`),
        stem(`${t.group}_${t.source}`),
        500,
        bands[t.group]!,
      )
      expect(after.polarity, `${t.source} as delivered`).toBe('normal')
      expect(Math.abs(after.lagSamples), `${t.source} as delivered`).toBeLessThan(EARLY_FRAMES)
      compared += 1
    }
    expect(compared).toBe(4)
  })

  test('prediction and filter bank agree within 0.1 dB on every blend', () => {
    const report = JSON.parse(
      readFileSync(join(folder, 'stems/lantern_street-take4/report.json'), 'utf8'),
    ) as unknown
    const worst: number[] = []
    const judged: number[] = []
    JSON.stringify(report, (key, value: unknown) => {
      if (key === 'worstDifferenceDb') worst.push(value as number)
      if (key === 'bandsJudged') judged.push(value as number)
      return value
    })
    expect(worst).toHaveLength(5)
    expect(Math.min(...judged)).toBeGreaterThanOrEqual(15)
    for (const difference of worst) {
      expect(Math.abs(difference)).toBeLessThan(0.1)
      noted('demo-tone', difference)
    }
  })
})

interface ToldTone {
  readonly before: ToldCurve
  readonly after: ToldCurve
  readonly broadbandChangeDb: number
}

interface ToldCurve {
  readonly lossDb: readonly (number | null)[]
  readonly levelDb: readonly (number | null)[]
}

interface ToldReport {
  readonly delivery: { readonly turnDownDb: number }
  readonly groups: readonly {
    readonly name: string
    readonly sources: readonly {
      readonly name: string
      readonly move: { readonly shiftSamples: number; readonly polarity: string }
    }[]
    readonly blends: readonly { readonly name: string; readonly tone: ToldTone }[]
  }[]
  readonly stems: readonly {
    readonly name: string
    readonly parts: readonly { readonly source: string; readonly gain: number }[]
  }[]
}

/** What test/outside/second-opinion/song.py prints. */
interface SongAgain {
  readonly turnDownDb: number
  readonly sources: Readonly<Record<string, { readonly shiftSamples: number; readonly polarity: string }>>
  readonly stemsLeftDb: Readonly<Record<string, number>>
  readonly blends: Readonly<
    Record<
      string,
      ToldTone & {
        readonly gains: Readonly<Record<string, number>>
        readonly deliveredDb: readonly number[]
      }
    >
  >
}

/** Largest distance where both have a value; both must have one at the same points. */
const apart = (a: readonly (number | null)[], b: readonly (number | null)[]): number => {
  expect(a.map(value => value === null)).toEqual(b.map(value => value === null))
  return Math.max(...a.map((value, i) => Math.abs((value ?? 0) - (b[i] ?? 0))))
}

describe('the whole song a second time, in Python, from the documents', () => {
  let again: SongAgain
  let told: ToldReport

  // What the recipe's reader, the estimator, the moves, the sums and the tone curves are there is written from docs/ with NumPy and SciPy.
  testWith('pyyaml', 'lags, moves, stems and tone agree', () => {
    const delivery = join(folder, 'stems/lantern_street-take4')
    const script = fileURLToPath(new URL('../outside/second-opinion/song.py', import.meta.url))
    again = JSON.parse(runPythonFile(script, [join(folder, 'recipe.yaml'), delivery]).toString()) as SongAgain
    told = JSON.parse(readFileSync(join(delivery, 'report.json'), 'utf8')) as ToldReport
    let lags = 0
    for (const group of told.groups)
      for (const { name, move } of group.sources) {
        const other = again.sources[`${group.name}/${name}`]!
        const off = Math.abs(other.shiftSamples - move.shiftSamples)
        expect(off, name).toBeLessThan(0.01)
        expect(other.polarity, name).toBe(move.polarity)
        noted('song-lag', off)
        lags++
      }
    expect(lags).toBe(7)

    expect(again.turnDownDb).toBe(told.delivery.turnDownDb)
    const left = Object.entries(again.stemsLeftDb)
    expect(left).toHaveLength(told.stems.length)
    for (const [name, leftDb] of left) {
      // Up to 20 kHz, which is as far as the moves are promised to be exact; 0.002 frames between the two lags leave -85 dB of these sounds.
      expect(leftDb, name).toBeLessThan(-80)
      noted('song-stems', leftDb)
    }

    let points = 0
    for (const { name, tone } of told.groups.flatMap(group => group.blends)) {
      const other = again.blends[name]!
      for (const part of told.stems.find(stem => stem.name === name)!.parts)
        expect(Math.abs(part.gain)).toBeCloseTo(other.gains[part.source.split('/')[1]!]!, 9)
      for (const when of ['before', 'after'] as const)
        for (const curve of ['lossDb', 'levelDb'] as const) {
          const off = apart(tone[when][curve], other[when][curve])
          expect(off, `${name} ${when} ${curve}`).toBeLessThan(0.05)
          noted('song-tone', off)
          points += tone[when][curve].length
        }
      expect(Math.abs(tone.broadbandChangeDb - other.broadbandChangeDb)).toBeLessThan(0.05)
      // The file itself, and not a prediction of it, against what the report says of it.
      const level = tone.after.levelDb
      const loudest = Math.max(...level.map(value => value ?? -Infinity))
      const written = other.deliveredDb.map((value, i) => (level[i] === null ? null : value + loudest))
      const off = apart(level, written)
      expect(off, `${name} as delivered`).toBeLessThan(0.05)
      noted('song-written', off)
    }
    expect(points).toBeGreaterThan(4000)
  })
})

const fileOf = (group: string, source: string): string =>
  `${{ 'upright-bass': 'bass', snare: 'snare', 'acoustic-guitar': 'guitar' }[group] ?? group}-${source}.wav`
