import type { Album } from '../../src/report/album/album.js'
import { buildReport } from '../../src/report/build-report.js'
import type { Report } from '../../src/report/report.js'
import { lanternStreet } from '../report/fixture.js'

/** Long lists are cut to this: what is looked at is how they are read. All lists that belong together are cut alike. */
const LONGEST_LIST = 9

const thin = (value: unknown): unknown => {
  if (Array.isArray(value)) {
    return (
      value.every(item => typeof item === 'number' || item === null) ? value.slice(0, LONGEST_LIST) : value
    ).map(thin)
  }
  if (typeof value !== 'object' || value === null || ArrayBuffer.isView(value)) return value
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, thin(inner)]))
}

/** The report of our own song, with short curves. */
export const shortReport = (): Report =>
  thin(JSON.parse(JSON.stringify(buildReport(lanternStreet)))) as Report

const SHA = 'ab'.repeat(32)

export const someAlbum = (shard: Album['shard']): Album => ({
  format: 1,
  tool: { name: 'sumwell', version: '0.1.0' },
  made: { at: '2026-11-26T08:00:00.000Z' },
  shard,
  songs: [1, 2, 3].map(n => ({
    recipe: `songs/${shard?.number ?? 0}-${n}/recipe.yaml`,
    song: `Song ${n}`,
    take: n === 1 ? null : '4',
    state: n === 3 ? 'failed' : 'done',
    page: n === 3 ? null : `songs/${n}/stems/report.html`,
    reportJson: n === 3 ? null : `songs/${n}/stems/report.json`,
    groups: [
      {
        name: 'bass',
        verdict: 'unsure',
        sources: [
          { name: 'piezo', lagMs: 0, polarity: 'normal', verdict: 'sure' },
          { name: 'bridge', lagMs: null, polarity: null, verdict: 'unsure' },
        ],
      },
    ],
    stems: [{ name: 'bass', sha256: SHA, loudnessLufs: -23.1 }],
    warnings: [{ code: 'HUM', group: 'bass', source: 'piezo', message: 'Mains hum' }],
    faults: n === 3 ? [{ code: 'RECIPE_SYNTAX', message: 'not YAML' }] : [],
    changes: n === 1 ? null : ['bass: louder by 1 dB'],
  })),
})
