import { existsSync, mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import path from 'node:path'
import { floor } from './rendering/floor.js'
import { type Material, material } from './rendering/material.js'
import { medianOf, type Timed, timed } from './rendering/timed.js'
import { whereTimeGoes } from './rendering/where-time-goes.js'

/*
 * `npm run bench -- rendering`: the whole command against a plain copy of the same nine files by sox, two at a time, and against a script
 * with SciPy; measuring alone against a plain decode of the eight; all sides take turns in one run. Then where the time goes, and how
 * cost and memory grow with the length and the number of sources. Writes docs/performance.md. Needs sox, python3 with SciPy, and
 * /usr/bin/time; a quarter of an hour, and 12 GB for the recordings, which it keeps in .cache/bench.
 */

const ROUNDS = Number(process.env['BENCH_ROUNDS'] ?? 5)
const program = path.resolve('dist/cli/main.js')

interface Side {
  readonly name: string
  readonly run: (song: Material) => Timed
}

const rendering: readonly Side[] = [
  { name: 'copy of the 9 files by sox, two at a time', run: song => copyBySox(song) },
  { name: 'sumwell render, 2 threads', run: song => render(song, 2) },
  { name: 'sumwell render, 1 thread', run: song => render(song, 1) },
  { name: 'SciPy script, whole files', run: song => scipy(song) },
]

const measuring: readonly Side[] = [
  { name: 'decode of the 8 files by sox, two at a time', run: song => decodeBySox(song) },
  { name: 'sumwell measure, 2 threads', run: song => measure(song, 2) },
  { name: 'sumwell measure, 1 thread', run: song => measure(song, 1) },
]

const emptied = (folder: string): string => {
  rmSync(folder, { recursive: true, force: true })
  mkdirSync(folder, { recursive: true })
  return folder
}

const copyBySox = ({ folder, sources }: Material): Timed => {
  const into = emptied(path.join(folder, 'copy'))
  const pairs = [...sources, sources[0]!].flatMap((file, i) => [file, path.join(into, `${i}.wav`)])
  return timed('sh', ['-c', 'printf "%s\\n" "$@" | xargs -P2 -n2 sox', 'sox', ...pairs])
}

const decodeBySox = ({ sources }: Material): Timed =>
  timed('sh', ['-c', 'printf "%s\\n" "$@" | xargs -P2 -I{} sox {} -n', 'sox', ...sources])

/** Measurements that earlier runs remember are put into a folder of the bench's own, and away. */
const forget = (): void => {
  process.env['SUMWELL_CACHE'] = emptied(path.resolve('.cache/bench/memory'))
}

const measure = ({ recipe }: Material, jobs: number): Timed => {
  forget()
  return timed(process.execPath, [program, 'measure', recipe, '--quiet', '--jobs', String(jobs)])
}

// Cold: nothing is left of the run before, neither stems nor lock nor what was remembered.
const render = ({ folder, recipe }: Material, jobs: number): Timed => {
  forget()
  for (const left of readdirSync(folder)) {
    if (left !== path.basename(recipe) && !left.endsWith('.wav')) {
      rmSync(path.join(folder, left), { recursive: true, force: true })
    }
  }
  return timed(process.execPath, [program, 'render', recipe, '--jobs', String(jobs)])
}

const scipy = ({ folder, sources }: Material): Timed =>
  timed('python3', [path.resolve('bench/scipy-render.py'), emptied(path.join(folder, 'scipy')), ...sources])

const table = (head: readonly string[], rows: readonly (readonly string[])[]): string =>
  [head, head.map(() => '---'), ...rows].map(row => `| ${row.join(' | ')} |`).join('\n')

/** Every side against the first of them, with the processor seconds of that one. */
const compared = (
  song: Material,
  sides: readonly Side[],
  against: string,
): { readonly text: string; readonly plainWork: number } => {
  const runs = sides.map((): Timed[] => [])
  for (let round = 0; round < ROUNDS; round++) sides.forEach((side, s) => runs[s]!.push(side.run(song)))
  const plain = medianOf(runs[0]!.map(({ seconds }) => seconds))
  const plainWork = medianOf(runs[0]!.map(({ processorSeconds }) => processorSeconds))
  const text = table(
    ['', 'seconds', 'least to most', against, 'processor seconds', against, 'peak memory, MB'],
    sides.map(({ name }, s) => {
      const seconds = runs[s]!.map(run => run.seconds)
      const work = medianOf(runs[s]!.map(run => run.processorSeconds))
      return [
        name,
        medianOf(seconds).toFixed(2),
        `${Math.min(...seconds).toFixed(2)} to ${Math.max(...seconds).toFixed(2)}`,
        (medianOf(seconds) / plain).toFixed(1),
        work.toFixed(2),
        (work / plainWork).toFixed(1),
        Math.max(...runs[s]!.map(run => run.peakMegabytes)).toFixed(0),
      ]
    }),
  )
  return { text, plainWork }
}

/** One run each: enough to see the shape. */
const curve = (songs: readonly (readonly [microphones: number, seconds: number])[]): string =>
  table(
    [
      'sources',
      'length, s',
      'seconds',
      'processor seconds',
      'ms of processor for a second of source',
      'peak memory, MB',
    ],
    songs.map(([microphones, seconds]) => {
      const run = render(material(microphones, seconds), 2)
      return [
        String(microphones),
        String(seconds),
        run.seconds.toFixed(2),
        run.processorSeconds.toFixed(2),
        ((1000 * run.processorSeconds) / (microphones * seconds)).toFixed(1),
        run.peakMegabytes.toFixed(0),
      ]
    }),
  )

export const run = async (): Promise<string> => {
  if (!existsSync(program)) throw new Error('build first: npm run build')
  const song = material(8, 300)
  const whole = compared(song, rendering, 'times the copy')
  const sections = [
    '# What rendering costs\n',
    'Made by `npm run bench -- rendering`; do not edit by hand. A virtual machine with two cores, files in the page cache. What other',
    `programs on the machine do shows in the spread. Figures are the median of ${ROUNDS} rounds, in which all sides take turns; each is`,
    'the whole command with the start of its process.\n',
    'The song: eight mono recordings of one instrument, 5 min, 48 kHz, 24 bit; eight stems and a blend of all eight. `render` measures',
    'every source and all 28 pairs, moves by fractions of a frame, dithers, meters, checks the tone and writes the report with its sound.',
    'The script only correlates, moves and adds.\n',
    whole.text,
    '\n## The floor\n',
    'What no design can leave out that measures these recordings and makes these stems: each piece of work alone, in one thread, on the same files,',
    `with the kernels that render uses; the least of ${ROUNDS} rounds. Nothing is decided in it, no tone is compared, and there is no report to look at or`,
    'listen to. A copy by sox only reads and writes: the sum of these rows, not three times the copy, is what render can come near.\n',
    table(['piece of work', 'processor seconds', 'times the copy'], floor(song, ROUNDS, whole.plainWork)),
    '\n## Measuring alone\n',
    compared(song, measuring, 'times the decode').text,
    '\n## Where the time goes\n',
    'One render of the same song, every task in one thread. A task is a piece of work that the threads share out.\n',
    table(['task', 'runs', 'processor seconds', 'share'], await whereTimeGoes(song.recipe)),
    '\n## With the length\n',
    'The two hours are two recordings, not eight.\n',
    curve([
      [8, 60],
      [8, 300],
      [8, 600],
      [2, 300],
      [2, 7200],
    ]),
    '\n## With the number of sources\n',
    'All pairs of sources are compared up to sixteen; beyond that each with its nearest few. The blend has the first eight sources.\n',
    curve([
      [2, 60],
      [4, 60],
      [8, 60],
      [16, 60],
      [32, 60],
      [64, 60],
    ]),
    '',
  ]
  const text = sections.join('\n')
  writeFileSync('docs/performance.md', text)
  return text
}
