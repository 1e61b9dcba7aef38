import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, readFileSync, statSync, symlinkSync, writeFileSync } from 'node:fs'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type Example, examplesOf } from '../docs/page-examples.js'
import { pages, wholeRecipe } from '../docs/pages.js'
import { NOT_RUN } from './page-examples/not-run.js'
import { type Manner, RUN_DIFFERENTLY, STANDS_FOR } from './page-examples/run-differently.js'
import { openStudio, type Studio } from './page-examples/studio.js'
import { expectFreshBuild, root, sumwell } from './setting/sumwell.js'
import { waveBytes } from './setting/wave-bytes.js'

/** Every example of the pages is run as it stands there, in the order in which it stands there, or is listed with a reason. */

// The page of bad input is made of runs: test/robustness does each of its calls.
const all = pages.filter(({ name }) => name !== 'docs/robustness.md').flatMap(examplesOf)

const isListed = ([page, beginning]: (typeof NOT_RUN)[number], one: Example): boolean =>
  (page === '*' || page === one.page) && one.text.startsWith(beginning)
const toRun = all.filter(one => !NOT_RUN.some(row => isListed(row, one)))
const of = (kind: Example['kind']) => toRun.filter(one => one.kind === kind)

let studio: Studio
beforeAll(() => {
  expectFreshBuild()
  studio = openStudio()
})
afterAll(() => {
  studio.remove()
})

describe('the list of what is not run', () => {
  test('holds nothing that no page shows, and gives a reason for each', () => {
    expect(NOT_RUN.filter(row => !all.some(one => isListed(row, one)))).toEqual([])
    for (const [, beginning, reason] of NOT_RUN)
      expect([beginning, reason.length > 8]).toEqual([beginning, true])
  })

  const { scripts } = JSON.parse(readFileSync(`${root}package.json`, 'utf8')) as {
    scripts: Record<string, string>
  }
  const house = readFileSync(`${root}.ci/run`, 'utf8')

  test('says of the house check only what that does', () => {
    const said = NOT_RUN.filter(([, , reason]) => /^run by \.ci\/run|a part of npm run checks/.test(reason))
    expect(said.length).toBeGreaterThan(6)
    for (const [, call, reason] of said) {
      const where = reason.startsWith('run by') ? house : scripts['checks']
      expect([call, where?.includes(call)]).toEqual([call, true])
    }
    expect(house).toContain('npm run demo')
    expect(house).toContain('retake.ts --check')
  })

  test('every script and bench that a page names is there', () => {
    const named = all.flatMap(({ text }) => [...text.matchAll(/npm run ([\w:]+)(?: -- ([\w-]+))?/g)])
    expect(named.length).toBeGreaterThan(20)
    for (const [call, script = '', bench = 'NAME'] of named) {
      const known =
        script in scripts &&
        (script !== 'bench' || bench === 'NAME' || existsSync(`${root}bench/${bench}.ts`))
      expect([call, known]).toEqual([call, true])
    }
  })

  test('a single test that a page calls for is there', () => {
    const named = all.flatMap(({ text }) => [...text.matchAll(/vitest run (\S+) -t "(.+)"/g)])
    expect(named).toHaveLength(1)
    for (const [, file = '', name = ''] of named)
      expect(readFileSync(`${root}${file}`, 'utf8')).toMatch(new RegExp(`(test|describe)\\('.*${name}`))
  })

  test('every file of ours in a drawing is there', () => {
    const files = all
      .filter(({ kind, page }) => kind === 'shown' && page === 'docs/lock.md')
      .flatMap(({ text }) => [...text.matchAll(/src\/[\w./-]+(?<=\/|\.ts)/g)].map(([file]) => file))
    expect(files.length).toBeGreaterThan(5)
    expect(files.filter(file => !existsSync(`${root}${file}`))).toEqual([])
  })
})

const made = (call: string): string => STANDS_FOR.reduce((so, [from, to]) => so.replace(from, to), call)

describe('every call does what the page says', () => {
  const done = new Set<string>()
  const calls = of('call')

  test('there are many', () => {
    expect(calls.length).toBeGreaterThan(60)
  })

  test.each(calls)('$page:$line $text', async ({ text }) => {
    const call = made(text)
    if (done.has(call)) return
    done.add(call)
    if (call.endsWith('--watch')) {
      const when = (stderr: string): boolean => stderr.includes('Ctrl-C ends it')
      const ended = await sumwell(call.split(' ').slice(1), {
        cwd: studio.folder,
        environment: { SUMWELL_CACHE: studio.path('.cache') },
        interrupt: { when, signal: 'SIGINT', times: 1 },
      })
      expect([ended.status, ended.stderr.includes('watching')]).toEqual([130, true])
      return
    }
    const manner: Manner = RUN_DIFFERENTLY[text] ?? {}
    const script = `set -e\nfpath=(- zsh)\n${manner.before ?? ''}\n${call}`
    const ran = spawnSync('bash', ['-c', script], {
      cwd: studio.folder,
      encoding: 'utf8',
      env: studio.environment,
    })
    expect([ran.status, ran.stderr], `${call}\n${ran.stdout}${ran.stderr}`).toEqual([
      manner.status ?? 0,
      expect.not.stringMatching(/INTERNAL|\n {4}at /),
    ])
    if (manner.says !== undefined) expect(ran.stdout).toMatch(manner.says)
    if (manner.makes !== undefined) expect(statSync(studio.path(manner.makes)).size).toBeGreaterThan(100)
  })

  test('nothing is prepared for a call that stands nowhere', () => {
    expect(Object.keys(RUN_DIFFERENTLY).filter(call => !calls.some(({ text }) => text === call))).toEqual([])
  })
})

test('every program prints what it should, and nothing went wrong in it', () => {
  const programs = of('js')
  expect(programs.map(({ page }) => page)).toEqual(['docs/commands.md'])
  for (const { text } of programs) {
    writeFileSync(studio.path('program/example.mjs'), text)
    const ran = spawnSync(process.execPath, ['example.mjs'], {
      cwd: studio.path('program'),
      encoding: 'utf8',
      env: studio.environment,
    })
    expect([ran.status, ran.stderr]).toEqual([0, ''])
    expect(ran.stdout).toMatch(/^piezo 0 sure\nbridge 1\.9\d+ sure\ntop 0 sure\nbottom 0\.1\d+ sure\n$/)
  }
})

describe('a recipe, or a piece of one', () => {
  /** Two channels: long enough for a recipe that names moments of a file, and else at a rate that is enough for a slate. */
  const sound = (rateHz: number, seconds: number): Buffer => {
    const rising = Float64Array.from({ length: rateHz * seconds }, (_, i) => Math.sin(i * i * 1e-7) / 4)
    return waveBytes([rising, rising], rateHz)
  }
  const long = sound(8000, 130)
  const short = sound(48_000, 1)
  const recipes = of('yaml')
  beforeAll(() => {
    expect(recipes.length).toBeGreaterThan(7)
  })

  test.each(recipes)('$page:$line is one that the command takes', async ({ text, line, page }) => {
    const whole = wholeRecipe(text)
    const place = studio.path('recipes', `${page.replace(/\W/g, '-')}-${line}`)
    mkdirSync(place, { recursive: true })
    writeFileSync(`${place}/song.yaml`, whole)
    if (/^base:/m.test(whole))
      writeFileSync(`${place}/album.yaml`, wholeRecipe('sources: { a: a.wav, b: b.wav }'))
    const files = new Set(
      [...`${whole} a.wav b.wav`.matchAll(/[\w{}/-]+\.wav/g)].map(([file]) => file.replace('{take}', '4')),
    )
    for (const file of files) {
      mkdirSync(`${place}/${file}/..`.replace(/\/[^/]+\/\.\.$/, ''), { recursive: true })
      writeFileSync(`${place}/${file}`, /passage|pieces/.test(whole) ? long : short)
    }
    const { status, stderr } = await sumwell(['check', 'song.yaml', '--quiet'], { cwd: place })
    expect([status, stderr]).toEqual([0, expect.not.stringContaining('RECIPE_')])
  })
})

test('the document of --json has the keys that its example has, and no other', async () => {
  const examples = of('json')
  expect(examples).toHaveLength(1)
  const shown = JSON.parse(examples[0]!.text.replace(/\s\/\/.*$/gm, '').replace(/…/g, '0')) as Record<
    string,
    unknown
  >
  const keysOf = (value: unknown): readonly string[] => Object.keys(value as object)
  const wrong = readFileSync(studio.path('song.yaml'), 'utf8').replace('via: mic', 'via: mike')
  writeFileSync(studio.path('wrong.yaml'), wrong)
  const silent = waveBytes([new Float64Array(48_000)], 48_000)
  mkdirSync(studio.path('audio/take-silent'))
  for (const name of ['piezo', 'bridge', 'top', 'bottom'])
    writeFileSync(studio.path(`audio/take-silent/${name}.wav`), silent)
  const call = ['check', 'song.yaml', 'wrong.yaml', '--take', 'silent', '--json']
  const { stdout } = await sumwell(call, { cwd: studio.folder })
  const real = JSON.parse(stdout) as Record<string, readonly unknown[]>
  expect(keysOf(real)).toEqual(keysOf(shown))
  for (const list of ['warnings', 'faults']) {
    expect(real[list]!.length).toBeGreaterThan(0)
    expect([list, keysOf(real[list]![0])]).toEqual([list, keysOf((shown[list] as readonly unknown[])[0])])
  }
})

test('what the page of faults shows is printed for such a recipe', async () => {
  const shown = of('shown').filter(({ page }) => page === 'docs/faults.md')
  expect(shown).toHaveLength(1)
  const recipe = [
    ...['recipe: 1', 'song: Lantern Street', 'groups:', '  snare:', '    reference: top', '    sources:'],
    ...[
      '      top: top.wav',
      '      bottom: bottom.wav',
      ...Array<string>(7).fill('      # a line'),
      '    align:',
    ],
    '      search: 40',
  ]
  mkdirSync(studio.path('faulty'))
  writeFileSync(studio.path('faulty/song.yaml'), recipe.join('\n'))
  for (const name of ['top', 'bottom'])
    symlinkSync(`../audio/take-4/${name}.wav`, studio.path(`faulty/${name}.wav`))
  const { status, stderr } = await sumwell(['check', 'song.yaml', '--allow-outside'], {
    cwd: studio.path('faulty'),
  })
  expect([status, stderr.trim()]).toEqual([3, shown[0]!.text])
})

test('nothing that is shown is left over', () => {
  const looked = ['docs/faults.md', 'docs/lock.md']
  expect(of('shown').filter(({ page }) => !looked.includes(page))).toEqual([])
})
