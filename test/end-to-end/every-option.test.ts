import { afterAll, beforeAll, expect, test } from 'vitest'
import { someAlbum } from '../fuzz/documents.js'
import type { RobustCase } from '../robustness/case.js'
import { delivered } from '../robustness/delivered.js'
import { type Ground, type Grounds, openGrounds, RECIPE, withOutside } from '../robustness/ground.js'
import { canRun, runCase } from '../robustness/run-case.js'
import { cpSync, existsSync, readFileSync, statSync } from '../robustness/system.js'
import { frames, mono } from '../robustness/waves.js'
import { expectFreshBuild } from './setting/sumwell.js'

/** A terminal that would like colour, and a user who would not. */
const COLOURFUL = { FORCE_COLOR: '1', NO_COLOR: '' }
const NOTHING_BUT_EXIT = /^\s*exit 0\s*$/
const DELIVERED = /^(song|stems(\/.*)?|song\.lock\.yaml)$/

const withTake = (g: Ground): void => {
  g.put(
    'song.yaml',
    RECIPE.replace('song: Short Song', 'song: Short Song\ntake: 3').replace(
      'audio/bottom.wav',
      '"audio/take-{take}/bottom.wav"',
    ),
  )
  for (const take of [3, 7])
    cpSync(g.path('audio/bottom.wav'), g.path(`audio/take-${take}/bottom.wav`), { recursive: true })
}
const withSilence = (g: Ground): void => {
  g.put('audio/bottom.wav', mono(frames(48_000, () => 0)))
}
const withShards = (g: Ground): void => {
  for (const number of [1, 2])
    g.put(
      `album.shard-${number}-of-2.json`,
      JSON.stringify({
        ...someAlbum({ number, of: 2 }),
        songs: someAlbum({ number, of: 2 }).songs.slice(0, 2),
      }),
    )
}

/** Options that other tests do not use on that command: what each does is seen. */
const CASES: readonly RobustCase[] = [
  {
    what: 'init in one thread, without colour',
    call: 'sumwell init audio --dry-run --jobs 1 --no-color',
    environment: COLOURFUL,
    exit: 0,
    says: /recipe: 1/,
  },
  {
    what: 'check, strictly: silence is not sure',
    set: withSilence,
    call: 'sumwell check song.yaml --strict --no-color',
    environment: COLOURFUL,
    exit: 4,
    codes: ['NOT_SURE'],
  },
  {
    what: 'measure, strictly',
    set: withSilence,
    call: 'sumwell measure song.yaml --strict --no-color',
    environment: COLOURFUL,
    exit: 4,
    codes: ['NOT_SURE'],
  },
  {
    what: 'measure another take',
    set: withTake,
    call: 'sumwell measure song.yaml --take 7 --json',
    exit: 0,
    says: /audio\/take-7\/bottom\.wav/,
  },
  {
    what: 'measure what lies outside',
    set: withOutside,
    call: 'sumwell measure song.yaml --allow-outside',
    exit: 0,
    says: /bottom/,
  },
  {
    what: 'render another take',
    set: withTake,
    call: 'sumwell render song.yaml --no-audio --take 7 --no-color',
    environment: COLOURFUL,
    exit: 0,
    says: /stems\/report\.html/,
    writes: DELIVERED,
    after: g => {
      expect(readFileSync(g.path('stems/report.json'), 'utf8')).toContain('audio/take-7/bottom.wav')
    },
  },
  {
    what: 'render what lies outside',
    set: withOutside,
    call: 'sumwell render song.yaml --no-audio --allow-outside',
    exit: 0,
    says: /stems\/report\.html/,
    writes: DELIVERED,
  },
  {
    what: 'render with a summary elsewhere',
    call: 'sumwell render song.yaml --no-audio --album out',
    exit: 0,
    says: /out\/album\.html/,
    writes: /^(song|stems(\/.*)?|song\.lock\.yaml|out(\/.*)?)$/,
  },
  {
    what: 'render twice, and read every recording the second time',
    call: 'sumwell render song.yaml --no-audio --quiet && sumwell render song.yaml --no-audio --verify-sources',
    inShell: true,
    environment: { SUMWELL_CACHE: 'cache' },
    exit: 0,
    says: /nothing has changed|as they were|unchanged|stems\/report\.html/,
    writes: /^(song|stems(\/.*)?|song\.lock\.yaml|cache(\/.*)?)$/,
  },
  {
    what: 'verify in one thread',
    set: delivered,
    call: 'sumwell verify stems --jobs 1 --no-color',
    environment: COLOURFUL,
    exit: 0,
    says: /as delivered/,
  },
  {
    what: 'compare as a document',
    set: delivered,
    call: 'sumwell compare stems stems --json',
    exit: 0,
    says: /"comparison"/,
  },
  {
    what: 'compare quietly',
    set: delivered,
    call: 'sumwell compare stems stems --quiet --no-color; echo "exit $?"',
    inShell: true,
    environment: COLOURFUL,
    exit: 0,
    says: NOTHING_BUT_EXIT,
  },
  {
    what: 'explore another take in one thread',
    set: withTake,
    call: 'sumwell explore song.yaml snare --out page.html --take 7 --jobs 1 --no-color',
    environment: COLOURFUL,
    exit: 0,
    says: /page\.html/,
    writes: /^(song|page\.html)$/,
  },
  {
    what: 'explore what lies outside',
    set: withOutside,
    call: 'sumwell explore song.yaml snare --out page.html --allow-outside',
    exit: 0,
    says: /page\.html/,
    writes: /^(song|page\.html)$/,
  },
  {
    what: 'report quietly',
    set: delivered,
    call: 'sumwell report stems --quiet --no-color; echo "exit $?"',
    inShell: true,
    environment: COLOURFUL,
    exit: 0,
    says: NOTHING_BUT_EXIT,
    writes: /^stems(\/(report\.html|handoff\.md|SHA256SUMS)?)?$/,
  },
  {
    what: 'merge quietly',
    set: withShards,
    call: 'sumwell merge . --quiet --no-color; echo "exit $?"',
    inShell: true,
    environment: COLOURFUL,
    exit: 0,
    says: NOTHING_BUT_EXIT,
    writes: /^(song|album\.(html|json))$/,
  },
  {
    what: 'a slate over a slate',
    set: g => g.put('slate.wav', 'a former one'),
    call: 'sumwell slate slate.wav --force --quiet --no-color; echo "exit $?"',
    inShell: true,
    environment: COLOURFUL,
    exit: 0,
    says: NOTHING_BUT_EXIT,
    writes: /^(song|slate\.wav)$/,
    after: g => {
      expect(statSync(g.path('slate.wav')).size).toBeGreaterThan(1e6)
    },
  },
  {
    what: 'how large the cache is',
    set: g => g.put(`cache/entries/ab/${'ab'.repeat(32)}`, 'x'.repeat(1000)),
    call: 'sumwell cache --size --no-color',
    environment: { ...COLOURFUL, SUMWELL_CACHE: 'cache' },
    exit: 0,
    says: /1 entry/,
  },
  {
    what: 'the cache emptied',
    set: g => g.put(`cache/entries/ab/${'ab'.repeat(32)}`, 'x'.repeat(1000)),
    call: 'sumwell cache --clean',
    environment: { SUMWELL_CACHE: 'cache' },
    exit: 0,
    says: /cleaned/,
    writes: /^cache/,
    after: g => {
      expect(existsSync(g.path(`cache/entries/ab/${'ab'.repeat(32)}`))).toBe(false)
    },
  },
  {
    what: 'selfcheck quietly',
    call: 'sumwell selfcheck --quiet --no-color; echo "exit $?"',
    inShell: true,
    environment: COLOURFUL,
    exit: 0,
    says: NOTHING_BUT_EXIT,
  },
]

let grounds: Grounds
beforeAll(() => {
  expectFreshBuild()
  grounds = openGrounds()
})
afterAll(() => {
  grounds.remove()
})

test.each(CASES.map(one => [one.what, one] as const))('%s', async (_what, one) => {
  expect(canRun(one)).toBe(true)
  const { exit } = await runCase(one, grounds)
  expect(exit).toBe(one.exit)
})
