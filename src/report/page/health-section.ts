import type { Report, ReportHealth } from '../report.js'
import { clock, counted, NO_VALUE, orDash, signed, timeOfDay } from '../words/figures.js'
import { html, type Markup, named, type Piece } from './markup.js'
import { table } from './table.js'

const level = (value: number | null): string => orDash(value, db => signed(db, 1))

/** A constant offset is told from −80 dBFS on, and stands out from −60 dBFS on. */
const DC_SHOWN = 1e-4
const DC_MARKED = 1e-3

const offset = (dc: number): Piece => {
  if (Math.abs(dc) < DC_SHOWN) return 'none'
  const text = `${signed(dc * 100, 2)} %`
  return Math.abs(dc) >= DC_MARKED ? marked(text) : text
}

const marked = (text: string): Markup => html`<strong>${text}</strong>`

const cells = (health: ReportHealth, sampleRateHz: number): readonly Piece[] => [
  level(health.loudnessLufs),
  level(health.truePeakDbtp),
  level(health.samplePeakDbfs),
  health.clippedRuns > 0 ? marked(counted(health.clippedRuns, 'run')) : 'none',
  offset(health.dcOffset),
  health.hum === null ? 'none' : marked(`${health.hum.frequencyHz} Hz ${level(health.hum.levelDbfs)} dBFS`),
  clock(health.seconds, 1),
  health.bitDepth === null
    ? NO_VALUE
    : `${health.bitDepth} bit${health.channels > 1 ? ` × ${health.channels}` : ''}`,
  health.stampSamples === null ? NO_VALUE : timeOfDay(health.stampSamples, sampleRateHz),
]

/** Level, clipping, offset, hum, length and start of every recording. */
export const healthSection = (
  report: Report,
): Markup => html`<section class="health" aria-labelledby="health"><h3 id="health">Health of the recordings</h3>
${table(
  'Health, source by source',
  [
    { head: 'source' },
    { head: 'loudness, LUFS', numeric: true },
    { head: 'true peak, dBTP', numeric: true },
    { head: 'sample peak, dBFS', numeric: true },
    { head: 'clipped' },
    { head: 'DC' },
    { head: 'hum' },
    { head: 'length', numeric: true },
    { head: 'word' },
    { head: 'starts at' },
  ],
  report.groups.flatMap(group =>
    group.sources
      .filter(source => source.fromGroup === null)
      .map(source => [
        html`<span class="aside">${named(group.name)}</span> ${named(source.name)}`,
        ...cells(source.health, group.sampleRateHz),
      ]),
  ),
)}</section>`
