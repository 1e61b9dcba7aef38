import { type LagPoint, lagTimeChart } from '../charts/lag-time-chart.js'
import type { ReportGroup, ReportSource } from '../report.js'
import { clock, fixed, milliseconds, orDash } from '../words/figures.js'
import { figure } from './figure.js'
import { html, type Markup, named } from './markup.js'
import { table } from './table.js'

const pointsOf = (source: ReportSource, sampleRateHz: number): readonly LagPoint[] =>
  (source.measured.lagOverTime ?? []).map(point => ({
    atSeconds: point.atSeconds,
    lagMs: (point.lagSamples * 1000) / sampleRateHz,
    uncertaintyMs: (point.uncertaintySamples * 1000) / sampleRateHz,
  }))

const movement = (source: ReportSource): string => {
  const { drift, steps, swaySamples } = source.measured
  const words = [
    drift !== null && `drift ${fixed(drift.ppm, 1)} ± ${fixed(drift.uncertaintyPpm, 1)} ppm`,
    steps !== null &&
      steps.length > 0 &&
      `steps at ${steps.map(step => clock(step.atSeconds, 1)).join(', ')}`,
    swaySamples !== null && `sway ${fixed(swaySamples, 2)} frames`,
  ].filter(word => word !== false)
  return words.length > 0 ? `: ${words.join(', ')}` : ''
}

/** Lag over time of one source; null where it was not followed through the take. */
const figureOf = (group: ReportGroup, source: ReportSource, id: string): Markup | null => {
  const points = pointsOf(source, group.sampleRateHz)
  if (points.length < 2) return null
  const label = `Lag of ${source.name} through the take`
  return figure({
    id: `lag-time-${id}`,
    place: 'column',
    draw: (width, chartId) =>
      lagTimeChart(
        points,
        source.measured.lagMs,
        {
          id: chartId,
          title: label,
          description: `${points.length} blocks between ${clock(points[0]?.atSeconds ?? 0)} and ${clock(points.at(-1)?.atSeconds ?? 0)}; over the whole take ${orDash(source.measured.lagMs, milliseconds)}.`,
        },
        width,
      ),
    caption: html`${named(source.name)} through the take${movement(source)}. Whiskers: uncertainty of each block; broken line: the whole take.`,
    table: table(
      label,
      [{ head: 'time' }, { head: 'lag, ms', numeric: true }, { head: '±, ms', numeric: true }],
      points.map(point => [clock(point.atSeconds, 1), fixed(point.lagMs, 3), fixed(point.uncertaintyMs, 3)]),
      'dense',
    ),
  })
}

/** Lag over time of all sources of a group that were followed through the take. */
export const lagTimeFigures = (group: ReportGroup, index: number): readonly Markup[] =>
  group.sources.flatMap((source, s) => figureOf(group, source, `${index}-${s}`) ?? [])
