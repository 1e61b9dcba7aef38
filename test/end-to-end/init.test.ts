import {
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { generate } from '../../examples/lantern-street/generate.js'
import { noiseFrom } from './setting/sound.js'
import { expectFreshBuild, hashesUnder, sumwell } from './setting/sumwell.js'
import { schemaErrors } from './setting/valid.js'
import { samplesOf, waveBytes } from './setting/wave-bytes.js'

const takes = fileURLToPath(new URL('../../examples/lantern-street/audio/take-4/', import.meta.url))
let folder = ''

beforeAll(() => {
  expectFreshBuild()
  if (!existsSync(takes)) generate()
  folder = mkdtempSync(join(tmpdir(), 'sumwell-init-'))
})
afterAll(() => {
  rmSync(folder, { recursive: true })
})

interface Guessed {
  readonly song: string
  readonly take: string | null
  readonly groups: readonly {
    readonly name: string
    readonly reference: string
    readonly searchMs: number | null
    readonly sources: readonly {
      readonly file: string
      readonly via: string | null
      readonly lagMs: number | null
      readonly polarity: string | null
    }[]
  }[]
  readonly alone: readonly { readonly file: string }[]
  readonly leftOut: readonly { readonly shown: string }[]
}

const inFolder = (name: string): string => {
  const path = join(folder, name)
  mkdirSync(path, { recursive: true })
  return path
}
const init = async (path: string, ...more: string[]) => {
  const ended = await sumwell(['init', path, '--json', '--quiet', ...more])
  const document = JSON.parse(ended.stdout) as Guessed
  expect(schemaErrors('init', document)).toEqual([])
  return { ...ended, document }
}
const filesOf = ({ groups }: Guessed) => groups.map(group => group.sources.map(({ file }) => file).sort())

test('the demo song under names that say nothing: its groups, lags and polarities are found, and the recipe passes check', async () => {
  const path = inFolder('unhelpful')
  const names = [
    'bass-room',
    'snare-top',
    'guitar-mic',
    'bass-piezo',
    'guitar-pickup',
    'snare-bottom',
    'bass-bridge',
  ]
  names.forEach((name, i) => {
    copyFileSync(join(takes, `${name}.wav`), join(path, `REC${i}.wav`))
  })
  const before = hashesUnder(path)
  const { status, document } = await init(path)
  expect(status).toBe(0)
  expect(filesOf(document)).toEqual([
    ['REC0.wav', 'REC3.wav', 'REC6.wav'],
    ['REC1.wav', 'REC5.wav'],
    ['REC2.wav', 'REC4.wav'],
  ])
  expect(document.groups.map(({ sources }) => sources[0]?.file)).toEqual(['REC3.wav', 'REC1.wav', 'REC4.wav'])
  const room = document.groups[0]?.sources.find(({ file }) => file === 'REC0.wav')
  expect(room).toMatchObject({ polarity: 'inverted', via: 'mic' })
  // 364.6 frames at 48 kHz is what the generator put in; one coarse look may be off by the path's own group delay.
  expect(Math.abs((room?.lagMs ?? 0) - 7.6)).toBeLessThan(0.3)
  const checked = await sumwell(['check', join(path, 'recipe.yaml')])
  expect([checked.status, checked.stderr.includes('RECIPE_')]).toEqual([0, false])
  const { 'recipe.yaml': recipe, ...audio } = hashesUnder(path)
  expect(recipe).toHaveLength(64)
  expect(audio).toEqual(before)
})

test('a recipe that is there is never replaced: with --name another is written, with --dry-run none', async () => {
  const path = inFolder('taken')
  copyFileSync(join(takes, 'snare-top.wav'), join(path, 'a.wav'))
  copyFileSync(join(takes, 'snare-bottom.wav'), join(path, 'b.wav'))
  writeFileSync(join(path, 'recipe.yaml'), 'mine\n')
  const refused = await sumwell(['init', path])
  expect([refused.status, refused.stdout]).toEqual([1, ''])
  expect(refused.stderr).toContain('WRITE_EXISTS')
  const shown = await sumwell(['init', path, '--dry-run', '--quiet'])
  expect(shown.status).toBe(0)
  expect(readdirSync(path).sort()).toEqual(['a.wav', 'b.wav', 'recipe.yaml'])
  const other = await sumwell(['init', path, '--name', 'other.yaml'])
  expect(other.status).toBe(0)
  expect(other.stdout).toContain('a.wav: the reference, since it arrives first')
  expect(readFileSync(join(path, 'recipe.yaml'), 'utf8')).toBe('mine\n')
  expect(readdirSync(path).sort()).toEqual(['a.wav', 'b.wav', 'other.yaml', 'recipe.yaml'])
})

test('takes, helpful names, bleed, a far re-amped pass, a silent file and one that is no WAVE', async () => {
  const path = inFolder('Night Ferry')
  const rate = 48_000
  const seconds = 6
  const take = (name: string) =>
    samplesOf(readFileSync(join(takes, `${name}.wav`)))[0]!.subarray(0, seconds * rate)
  const [di, mic, top, bottom] = ['bass-piezo', 'bass-bridge', 'snare-top', 'snare-bottom'].map(take) as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ]
  const reamp = di.map((_, i) => Math.tanh(3 * (di[i - 8640] ?? 0)))
  const bleed = (into: Float64Array, from: Float64Array) => into.map((x, i) => x + 0.05 * from[i]!)
  const hiss = noiseFrom(5)
  const put = (name: string, samples: Float64Array) => {
    mkdirSync(join(path, name, '..'), { recursive: true })
    writeFileSync(join(path, name), waveBytes([samples], rate))
  }
  put('audio/take-2/bass-di.wav', di)
  put('audio/take-3/bass-di.wav', di)
  put('audio/take-3/bass-mic.wav', bleed(mic, top))
  put('audio/take-3/bass-reamp.wav', reamp)
  put('audio/take-3/snare-top.wav', bleed(top, di))
  put('audio/take-3/snare-bottom.wav', bleed(bottom, mic))
  put('audio/take-3/click.wav', new Float64Array(seconds * rate))
  put(
    'audio/take-3/shaker.wav',
    Float64Array.from({ length: seconds * rate }, () => 0.1 * hiss()),
  )
  writeFileSync(join(path, 'audio/take-3/notes.wav'), 'not a recording')
  // What was delivered is not taken for recordings.
  put('stems/night_ferry_bass.wav', di)
  writeFileSync(join(path, 'stems/report.json'), '{}')
  const { status, document } = await init(path)
  expect(status).toBe(0)
  expect(document).toMatchObject({ song: 'Night Ferry', take: '3' })
  expect(document.groups.map(({ name }) => name)).toEqual(['bass', 'snare'])
  expect(document.groups[0]).toMatchObject({ reference: 'di', searchMs: 270 })
  expect(document.groups[0]?.sources.map(({ via }) => via)).toEqual(['direct', 'mic', 'reamp'])
  expect(Math.abs((document.groups[0]?.sources[2]?.lagMs ?? 0) - 180)).toBeLessThan(0.3)
  expect(document.alone.map(({ file }) => file)).toEqual([
    'audio/take-3/click.wav',
    'audio/take-3/shaker.wav',
  ])
  expect(document.leftOut.map(({ shown }) => shown)).toEqual(['audio/take-3/notes.wav'])
  const text = readFileSync(join(path, 'recipe.yaml'), 'utf8')
  expect(text).toContain('file: "audio/take-{take}/bass-di.wav"')
})

test('nothing to look at is a wrong command line, in words', async () => {
  for (const place of [inFolder('empty'), join(folder, 'nowhere')]) {
    const ended = await sumwell(['init', place])
    expect([ended.status, ended.stdout]).toEqual([2, ''])
    expect(ended.stderr).toContain('USAGE_ARGUMENTS')
  }
  const name = await sumwell(['init', folder, '--name', '../x.yaml'])
  expect(name.status).toBe(2)
})
