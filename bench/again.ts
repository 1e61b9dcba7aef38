import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { cpus } from 'node:os'
import path from 'node:path'
import { material } from './rendering/material.js'
import { medianOf, type Timed, timed } from './rendering/timed.js'

/*
 * `npm run bench -- again`: what a render costs that was done before: with nothing changed, with other shares in a blend, with every recording read
 * again. Writes the table of docs/lock.md. Needs /usr/bin/time.
 */

const MICROPHONES = 8
const SECONDS = Number(process.env['BENCH_SECONDS'] ?? 300)
const ROUNDS = Number(process.env['BENCH_ROUNDS'] ?? 7)
const program = path.resolve('dist/cli/main.js')

const row = (what: string, rounds: readonly Timed[]): string =>
  [
    what,
    medianOf(rounds.map(({ seconds }) => seconds)).toFixed(2),
    medianOf(rounds.map(({ processorSeconds }) => processorSeconds)).toFixed(2),
    Math.max(...rounds.map(({ peakMegabytes }) => peakMegabytes)).toFixed(0),
  ].join(' | ')

const times = (count: number, work: (round: number) => Timed): readonly Timed[] =>
  Array.from({ length: count }, (_, round) => work(round))

export const run = (): Promise<string> => {
  const song = material(MICROPHONES, SECONDS)
  const cache = path.resolve('.cache/bench/again')
  for (const old of [cache, path.join(song.folder, 'stems'), path.join(song.folder, 'recipe.lock.yaml')])
    rmSync(old, { recursive: true, force: true })
  mkdirSync(cache, { recursive: true })
  process.env['SUMWELL_CACHE'] = cache
  const render = (...more: readonly string[]): Timed =>
    timed(process.execPath, [program, 'render', song.recipe, '--no-audio', '--quiet', ...more])
  const recipe = readFileSync(song.recipe, 'utf8')
  const withShare = (share: number): void => {
    writeFileSync(song.recipe, recipe.replace('mic-1: 12,', `mic-1: ${share},`))
  }
  const first = times(1, () => render())
  const nothing = times(ROUNDS, () => render())
  const read = times(Math.min(3, ROUNDS), () => render('--verify-sources'))
  const shares = times(Math.min(3, ROUNDS), round => {
    withShare(20 + round)
    return render()
  })
  writeFileSync(song.recipe, recipe)
  const table = [
    `Measured by \`npm run bench -- again\` on ${cpus()[0]?.model ?? 'this machine'}, ${cpus().length} cores: ${MICROPHONES} mono sources of ${SECONDS} s at 48 kHz, 24 bit, without sound in the page; medians.`,
    '',
    '| what changed since the last render | seconds | processor seconds | peak memory, MB |',
    '| --- | --- | --- | --- |',
    ...[
      row('everything: the first one', first),
      row('nothing', nothing),
      row('nothing, and every file is read to be sure (`--verify-sources`)', read),
      row('the shares of a blend', shares),
    ].map(line => `| ${line} |`),
  ].join('\n')
  const page = readFileSync('docs/lock.md', 'utf8')
  writeFileSync(
    'docs/lock.md',
    page.replace(
      /(<!-- measured: again -->\n)[\s\S]*?(<!-- end -->)/,
      (_, before: string, after: string) => `${before}${table}\n${after}`,
    ),
  )
  return Promise.resolve(table)
}
