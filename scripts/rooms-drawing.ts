/**
 * Draws docs/rooms.svg from the imports themselves: which room uses which. `npm run docs` writes it; with --check nothing is written,
 * and the status is 1 where the drawing is stale.
 */
import { spawnSync } from 'node:child_process'
import { readFileSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join } from 'node:path'

const root = join(import.meta.dirname, '..')
const target = join(root, 'docs/rooms.svg')

/** What goes in and what comes out, in the words of DEVELOPERS.md. */
const ABOUT: Readonly<Record<string, string>> = {
  terms: 'what every room shares: faults, warnings, units',
  recipe: 'text → checked recipe → session',
  signal: 'arrays → arrays: pure mathematics',
  wave: 'WAVE, RF64, BWF ↔ streams of frames',
  measure: 'session → measurement',
  decide: 'session, measurement → plan',
  render: 'plan → stems',
  tone: 'plan, stems → tone, predicted and measured',
  report: 'all of these → report → page, hand-off sheet',
  verify: 'a delivery → what is not as it says',
  lock: 'plan, stems, tone ↔ lock, memory, comparison',
  jobs: 'the line for a song, an album, a first recipe; threads',
  cli: 'argv → one of the above, printed',
}

interface Cruised {
  readonly modules: readonly {
    readonly source: string
    readonly dependencies: readonly { readonly resolved: string }[]
  }[]
}

/** The rules of the direction of imports name the rooms in their order; the last one needs no rule. */
const roomsInOrder = (): readonly string[] => {
  const { forbidden } = createRequire(import.meta.url)('../.dependency-cruiser.cjs') as {
    forbidden: readonly { readonly name: string }[]
  }
  const ruled = forbidden.flatMap(({ name }) => /^(\w+)-knows-nothing-later$/.exec(name)?.[1] ?? [])
  return [...ruled, 'cli']
}

const importsOf = (): Cruised => {
  const program = join(root, 'node_modules/dependency-cruiser/bin/dependency-cruise.mjs')
  const done = spawnSync(
    process.execPath,
    [program, 'src', '--config', '.dependency-cruiser.cjs', '--output-type', 'json'],
    { cwd: root, encoding: 'utf8', maxBuffer: 2 ** 28 },
  )
  if (done.stdout === '') throw new Error(done.stderr)
  return JSON.parse(done.stdout) as Cruised
}

const rooms = roomsInOrder()
const roomOf = (path: string): string | null => /^src\/(\w+)\//.exec(path)?.[1] ?? null
const packageOf = (path: string): string | null =>
  /(?:^|\/)node_modules\/((?:@[^/]+\/)?[^/]+)/.exec(path)?.[1] ?? null

const used = new Map(rooms.map(room => [room, new Set<string>()]))
const packages = new Map(rooms.map(room => [room, new Set<string>()]))
const shipped = new Set(
  Object.keys(
    (JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as { dependencies: object }).dependencies,
  ),
)
for (const { source, dependencies } of importsOf().modules) {
  const from = roomOf(source)
  if (from === null) continue
  for (const { resolved } of dependencies) {
    const to = roomOf(resolved)
    if (to !== null && to !== from) used.get(from)?.add(to)
    const name = packageOf(resolved)?.replace('@types/', '') ?? null
    if (name !== null && shipped.has(name)) packages.get(from)?.add(name)
  }
}

const ROW = 30
const TOP = 96
const NAME = 24
const WORDS = 104
const GRID = 462
const CELL = 24
const PACKAGES = GRID + rooms.length * CELL + 18
const WIDTH = PACKAGES + 240
const height = TOP + rooms.length * ROW + 48
const y = (i: number): number => TOP + i * ROW

const line = (i: number, room: string): string => {
  const about = ABOUT[room]
  if (about === undefined) throw new Error(`scripts/rooms-drawing.ts has no words for src/${room}`)
  const dots = rooms.flatMap((other, j) =>
    used.get(room)?.has(other) === true ? [`<circle cx="${GRID + j * CELL}" cy="${y(i)}" r="5"/>`] : [],
  )
  const own = `<rect x="${GRID + i * CELL - 7}" y="${y(i) - 7}" width="14" height="14" class="own"/>`
  const rule = `<path d="M${NAME - 10} ${y(i) + ROW / 2}H${WIDTH - 14}" class="rule"/>`
  const heads = `<text x="${NAME}" y="${y(i) + 5}" class="name">${room}</text><text x="${WORDS}" y="${y(i) + 5}">${about}</text>`
  const brought = [...(packages.get(room) ?? [])].sort().join(', ')
  return `${rule}${heads}${own}${dots.join('')}<text x="${PACKAGES}" y="${y(i) + 5}" class="quiet">${brought}</text>`
}

const columnHeads = rooms
  .map(
    (room, j) =>
      `<text transform="translate(${GRID + j * CELL + 4} ${TOP - 22}) rotate(-55)" class="quiet">${room}</text>`,
  )
  .join('\n')

const title = 'The rooms of src, in the order in which a recording passes through them'
const svg = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${height}" role="img" aria-label="${title}">
<!-- Made from the imports by scripts/rooms-drawing.ts: npm run docs -->
<style>
text { font: 13px ui-sans-serif, system-ui, sans-serif; fill: #1c2226; }
.name { font-weight: 600; } .quiet { fill: #5b6368; }
.rule { stroke: #d8d6cc; } .own { fill: none; stroke: #5b6368; } circle { fill: #0b5a72; }
</style>
<rect width="100%" height="100%" fill="#faf9f4"/>
<text x="${NAME}" y="26" class="name">${title}</text>
<text x="${PACKAGES}" y="${TOP - 22}" class="quiet">brought in</text>
${columnHeads}
${rooms.map((room, i) => line(i, room)).join('\n')}
<text x="${NAME}" y="${height - 16}" class="quiet">A dot: the room of this line uses the room of that column. None lies right of the squares: nobody uses a room that comes later.</text>
</svg>
`

if (!process.argv.includes('--check')) writeFileSync(target, svg)
else if (readFileSync(target, 'utf8') !== svg) {
  process.stderr.write('docs/rooms.svg is stale: run  npm run docs  and commit the result\n')
  process.exitCode = 1
}
