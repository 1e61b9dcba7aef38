import { existsSync, readFileSync } from 'node:fs'

const SUMMARY = 'coverage/coverage-summary.json'

interface Counted {
  readonly total: number
  readonly covered: number
}

type FileCounts = Readonly<Record<'lines' | 'branches', Counted>>

const share = (counts: readonly Counted[]): string => {
  const sum = (key: keyof Counted): number => counts.reduce((total, count) => total + count[key], 0)
  return `${((100 * sum('covered')) / Math.max(1, sum('total'))).toFixed(1)} %`
}

/** Lines and branches by room, from the last `npm run coverage`; null where there was none. */
export const coverageTable = (): string | null => {
  if (!existsSync(SUMMARY)) return null
  const summary = JSON.parse(readFileSync(SUMMARY, 'utf8')) as Record<string, FileCounts>
  const rooms = new Map<string, FileCounts[]>()
  for (const [file, counts] of Object.entries(summary)) {
    const room = /\/src\/(\w+)\//.exec(file)?.[1]
    if (room !== undefined) rooms.set(room, [...(rooms.get(room) ?? []), counts])
  }
  const row = (name: string, counts: readonly FileCounts[]): string =>
    `| ${name} | ${share(counts.map(({ lines }) => lines))} | ${share(counts.map(({ branches }) => branches))} |`
  return [
    '| room | lines | branches |',
    '| --- | --- | --- |',
    ...[...rooms]
      .sort(([a], [b]) => a.localeCompare(b))
      .map(([room, counts]) => row(`\`src/${room}\``, counts)),
    row('all', [...rooms.values()].flat()),
  ].join('\n')
}
