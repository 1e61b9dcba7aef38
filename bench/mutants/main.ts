import { appendFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import { parseArgs } from 'node:util'
import { globSync } from 'tinyglobby'
import { random } from '../../test/corpus/random.js'
import { batchesOf } from './batches.js'
import { Child } from './child.js'
import { type Mutant, mutated, told } from './mutant.js'
import { mutantsOf } from './mutants-of.js'
import type { Order } from './runner.js'
import { openSandbox } from './sandbox.js'
import { scoreText } from './score.js'
import { reachedFrom } from './tests-of.js'
import { compilerOf } from './types-of.js'

/*
 * npm run mutants -- src/decide 200 [--seed 1] [--wide] [--again] [--also pieces/units] [--without killed-writer] …
 *
 * Would a test notice? A seeded sample of small changes to one room, each tried against the room's tests, or (`--wide`) against all tests that
 * read the changed file. `--again` tries those that lived once more; `--also` takes test files of other folders by a part of their name;
 * `--without` leaves out slow ones, which can only make the score lower. Results are kept in .cache/mutants and gone on from.
 */

interface Tried extends Mutant {
  readonly fate: 'killed' | 'late' | 'lived' | 'refused'
  readonly by: string | null
}

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    seed: { type: 'string', default: '1' },
    wide: { type: 'boolean', default: false },
    again: { type: 'boolean', default: false },
    also: { type: 'string', multiple: true, default: [] },
    without: { type: 'string', multiple: true, default: [] },
  },
})
const folder = (positionals[0] ?? '').replace(/\/$/, '')
const wanted = Number(positionals[1] ?? 100)
const room = basename(folder)
if (!/^src\/\w+$/.test(folder) || !existsSync(folder) || !(wanted > 0)) {
  process.stderr.write(
    'npm run mutants -- src/ROOM [COUNT] [--seed N] [--wide] [--again] [--also PART] [--without PART]\n',
  )
  process.exit(2)
}

const say = (text: string): void => {
  process.stdout.write(`${text}\n`)
}

const sources = globSync(`${folder}/**/*.ts`, { ignore: ['**/generated/**'] }).sort()
const all = sources.flatMap(file => mutantsOf(file, readFileSync(file, 'utf8')))
const keyOf = ({ file, line, start, former, replacement }: Mutant): string =>
  JSON.stringify([file, line, start, former, replacement])

/** All mutants in a drawn order: the first so many are the sample, and a larger sample holds the smaller one. */
const shuffled = (mutants: readonly Mutant[], seed: string): Mutant[] => {
  const next = random(`${folder} ${seed}`)
  return mutants
    .map(mutant => ({ mutant, draw: next() }))
    .sort((a, b) => a.draw - b.draw)
    .map(({ mutant }) => mutant)
}

mkdirSync('.cache/mutants', { recursive: true })
const log = `.cache/mutants/${room}${values.without.length === 0 ? '' : '-quick'}-${values.seed}.jsonl`
const former = existsSync(log) ? readFileSync(log, 'utf8').trim().split('\n').filter(Boolean) : []
const tried = new Map(former.map(line => JSON.parse(line) as Tried).map(one => [keyOf(one), one]))

const sandbox = openSandbox()
const child = new Child(sandbox.root)
const close = (): void => {
  child.close()
  sandbox.close()
}
process.on('SIGINT', () => {
  close()
  process.exit(130)
})

const everyTest = globSync('test/**/*.test.ts', { ignore: ['test/end-to-end/**', 'test/browser/**'] })
  .filter(file => !values.without.some(part => file.includes(part)))
  .sort()
const own = everyTest.filter(
  file => file.startsWith(`test/${room}/`) || values.also.some(part => file.includes(part)),
)
const tests = values.wide ? everyTest.filter(file => reaches(file, folder)) : own

function reaches(test: string, part: string): boolean {
  return [...reachedFrom(test)].some(file => file === part || file.startsWith(`${part}/`))
}

const run = (changed: string | null, files: readonly string[], seconds: number, bail: boolean) => {
  const order: Order = { changed, files, bail }
  return child.run(order, seconds)
}

say(`${folder}: ${all.length} mutants in ${sources.length} files; ${tests.length} test files`)
const sound = await run(null, tests, 1800, false)
if (sound === 'late' || sound.failed) {
  close()
  throw new Error(`the tests fail without any mutant: ${sound === 'late' ? 'too slow' : sound.by}`)
}
const millisecondsOf = (file: string): number => sound.milliseconds[file] ?? 0
const wholeSeconds = tests.reduce((sum, file) => sum + millisecondsOf(file), 0) / 1000
say(`all of them take ${wholeSeconds.toFixed(1)} s`)

/** How often a test file has killed a mutant of a source file: what kills most for its time goes first. */
const kills = new Map<string, number>()
const inGoodOrder = (source: string): string[] => {
  const worthOf = (file: string): number =>
    (1 + (kills.get(`${source} ${file}`) ?? 0)) / (100 + millisecondsOf(file))
  return tests.filter(file => reachedFrom(file).has(source)).sort((a, b) => worthOf(b) - worthOf(a))
}

const fateOf = async (mutant: Mutant): Promise<Tried> => {
  const place = join(sandbox.root, mutant.file)
  const text = readFileSync(mutant.file, 'utf8')
  const files = inGoodOrder(mutant.file)
  if (files.length === 0) return { ...mutant, fate: 'lived', by: 'no test reads this file' }
  writeFileSync(place, mutated(text, mutant))
  try {
    for (const batch of batchesOf(files, millisecondsOf)) {
      const seconds = batch.reduce((sum, file) => sum + millisecondsOf(file), 0) / 1000
      const outcome = await run(mutant.file, batch, 10 + 3 * seconds, true)
      if (outcome === 'late') return { ...mutant, fate: 'late', by: null }
      if (!outcome.failed) continue
      const killer = files.find(file => outcome.by?.startsWith(file))
      if (killer !== undefined)
        kills.set(`${mutant.file} ${killer}`, (kills.get(`${mutant.file} ${killer}`) ?? 0) + 1)
      return { ...mutant, fate: 'killed', by: outcome.by }
    }
    return { ...mutant, fate: 'lived', by: null }
  } finally {
    writeFileSync(place, text)
  }
}

/** Now and then, and at the end: without a mutant all must pass, or kills would mean nothing. */
const SOUND_EVERY = 40
const mustBeSound = async (): Promise<void> => {
  const outcome = await run(null, inGoodOrder(sources[0] ?? '').slice(0, 4), 1800, true)
  if (outcome === 'late' || outcome.failed) {
    close()
    throw new Error(`without a mutant: ${outcome === 'late' ? 'too slow' : outcome.by}`)
  }
}

const isRefused = compilerOf(sandbox.root)
const sample: Tried[] = []
let refused = 0
for (const mutant of shuffled(all, values.seed)) {
  if (sample.length === wanted) break
  const before = tried.get(keyOf(mutant))
  const isKept = before !== undefined && !(values.again && before.fate === 'lived')
  const now = isKept
    ? before
    : isRefused(mutant)
      ? { ...mutant, fate: 'refused' as const, by: null }
      : await fateOf(mutant)
  if (!isKept) appendFileSync(log, `${JSON.stringify(now)}\n`)
  if (now.fate === 'refused') refused++
  else sample.push(now)
  if (!isKept && now.fate !== 'refused' && sample.length % SOUND_EVERY === 0) await mustBeSound()
  if (!isKept && now.fate !== 'refused')
    say(`${String(sample.length).padStart(4)} ${now.fate.padEnd(7)} ${told(mutant)}`)
}
close()

const lived = sample.filter(({ fate }) => fate === 'lived')
say('')
for (const mutant of lived) say(`lived: ${told(mutant)}`)
say(`\n${folder}: ${scoreText(sample.length - lived.length, sample.length)} killed, seed ${values.seed};`)
say(
  `${sample.filter(({ fate }) => fate === 'late').length} of them by taking too long; ${refused} more drawn ones do not compile`,
)
