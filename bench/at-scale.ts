import { spawnSync } from 'node:child_process'
import { readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { cpus } from 'node:os'
import path from 'node:path'
import { overheads } from './at-scale/overheads.js'
import { type Material, material } from './rendering/material.js'
import { medianOf, type Timed, timed } from './rendering/timed.js'

/*
 * `npm run bench -- at-scale`: what check, measure and render cost for a minute of source, with one thread and nothing remembered, and what
 * 10,000 songs need by that. Writes the tables of docs/at-scale.md. Needs /usr/bin/time.
 */

const MICROPHONES = 8
const SECONDS = 120
const ROUNDS = Number(process.env['BENCH_ROUNDS'] ?? 3)
const program = path.resolve('dist/cli/main.js')

/** The song of which the large table speaks. */
const SONG = { sources: 16, minutes: 4 } as const
const SONGS = 10_000

const bytesUnder = (folder: string): number =>
  readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter(entry => entry.isFile())
    .reduce((sum, entry) => sum + statSync(path.join(entry.parentPath, entry.name)).size, 0)

const calls: readonly { readonly name: string; readonly args: readonly string[] }[] = [
  { name: '`check`', args: ['check'] },
  { name: '`measure`', args: ['measure'] },
  { name: '`render --no-audio`', args: ['render', '--no-audio'] },
]

const called = ({ folder, recipe }: Material, args: readonly string[]): Timed => {
  rmSync(path.join(folder, 'stems'), { recursive: true, force: true })
  process.env['SUMWELL_CACHE'] = '' // nothing is remembered from one round to the next
  return timed(process.execPath, [program, ...args, recipe, '--jobs', '1', '--quiet'])
}

const table = (head: readonly string[], rows: readonly (readonly string[])[]): string =>
  [head, head.map(() => '---'), ...rows].map(row => `| ${row.join(' | ')} |`).join('\n')

const hours = (seconds: number): string => (seconds / 3600).toFixed(seconds < 36_000 ? 1 : 0)
const terabytes = (bytes: number): string => (bytes / 1e12).toFixed(1)

export const run = (): Promise<string> => {
  const song = material(MICROPHONES, SECONDS)
  const minutes = (MICROPHONES * SECONDS) / 60
  const costs = calls.map(({ name, args }) => {
    const rounds = Array.from({ length: ROUNDS }, () => called(song, args))
    return {
      name,
      processorSeconds: medianOf(rounds.map(round => round.processorSeconds)) / minutes,
      peakMegabytes: Math.max(...rounds.map(round => round.peakMegabytes)),
      readings: readings(song, args),
    }
  })
  const sourceBytes = song.sources.reduce((sum, file) => sum + statSync(file).size, 0)
  const writtenBytes = bytesUnder(path.join(song.folder, 'stems'))
  const cost = table(
    ['', 'processor seconds for a minute of one source', 'peak memory, MB'],
    costs.map(one => [one.name, one.processorSeconds.toFixed(2), one.peakMegabytes.toFixed(0)]),
  )
  const allMinutes = SONGS * SONG.sources * SONG.minutes
  const allBytes = allMinutes * (sourceBytes / minutes)
  const written = (allBytes * writtenBytes) / sourceBytes
  const scale = table(
    [
      '',
      'processor hours',
      'hours on 64 cores',
      'read, TB',
      'written, TB',
      'Gbit/s to and from a shared disk meanwhile',
    ],
    costs.map((one, i) => {
      const seconds = one.processorSeconds * allMinutes
      const out = i === costs.length - 1 ? written : 0
      return [
        one.name,
        hours(seconds),
        hours(seconds / 64),
        terabytes(allBytes * one.readings),
        terabytes(out),
        ((8 * (allBytes * one.readings + out)) / (seconds / 64) / 1e9).toFixed(1),
      ]
    }),
  )
  const text = [
    `Measured by \`npm run bench -- at-scale\` on ${cpus()[0]?.model ?? 'this machine'}: ${MICROPHONES} mono sources of ${SECONDS} s at 48 kHz, 24 bit, one thread, nothing`,
    `remembered, ${ROUNDS === 1 ? 'one round' : `median of ${ROUNDS}`}. A minute of one source has ${(sourceBytes / minutes / 1e6).toFixed(1)} MB; a render writes ${(writtenBytes / sourceBytes).toFixed(2)} times what it reads, with every source as a stem.`,
    '',
    cost,
    '',
    `${SONGS.toLocaleString('en')} songs of ${SONG.sources} sources and ${SONG.minutes} minutes, by these figures:`,
    '',
    scale,
  ].join('\n')
  const { loadMs, jsonBytes, pageBytes } = overheads(ROUNDS)
  const beside =
    `Every shard looks at all songs before it begins. Measured on albums of 4 and of 1,000 songs of 16 sources on a local disk: ${loadMs.toFixed(1)} ms of one core ` +
    `for each song, so ${((loadMs * SONGS) / 1000).toFixed(0)} s for ${SONGS.toLocaleString('en')}. The summary takes ${(jsonBytes / 1000).toFixed(1)} kB for each song in album.json and ` +
    `${(pageBytes / 1000).toFixed(1)} kB in album.html, so ${((jsonBytes * SONGS) / 1e6).toFixed(0)} and ${((pageBytes * SONGS) / 1e6).toFixed(0)} MB.`
  const file = 'docs/at-scale.md'
  const page = readFileSync(file, 'utf8')
  const between = (begin: string, text: string, name: string): string =>
    text.replace(
      new RegExp(`(<!-- ${name} -->\\n)[\\s\\S]*?(<!-- end -->)`),
      (_, before: string, after: string) => `${before}${begin}\n${after}`,
    )
  writeFileSync(file, between(beside, between(text, page, 'measured'), 'beside'))
  return Promise.resolve(`${text}\n\n${beside}`)
}

/** Bytes that a command asks the system for, in parts of the bytes of the recordings; Linux counts them. */
const readings = ({ folder, recipe, sources }: Material, args: readonly string[]): number => {
  rmSync(path.join(folder, 'stems'), { recursive: true, force: true })
  const call = [process.execPath, program, ...args, recipe, '--jobs', '1', '--quiet']
  const { stdout } = spawnSync('sh', ['-c', '"$@" && cat /proc/$$/io', 'sh', ...call], { encoding: 'utf8' })
  const read = Number(/rchar: (\d+)/.exec(stdout)?.[1])
  return read / sources.reduce((sum, file) => sum + statSync(file).size, 0)
}
