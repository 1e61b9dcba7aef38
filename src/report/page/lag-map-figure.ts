import { lagMapChart, type Rival } from '../charts/lag-map-chart.js'
import type { DeskBlend, DeskStrip } from '../desk/desk.js'
import { type LagMap, lagMap } from '../desk/lag-map.js'
import type { OpenedSpectra } from '../desk/opened-spectra.js'
import type { ReportGroup, ReportSource } from '../report.js'
import { fixed, milliseconds, signed } from '../words/figures.js'
import { figure } from './figure.js'
import { html, type Markup, named } from './markup.js'
import { table } from './table.js'

/** Two positions nearer than this are one, ms. */
const SAME_MS = 0.02
/** Every so many points of the curve a row in the table. */
const ROWS_EVERY = 8

const rivalsOf = (group: ReportGroup, source: ReportSource, strip: DeskStrip): readonly Rival[] => {
  const deliveredMs = (((strip.lagSamples ?? 0) - strip.nudgeSamples) * 1000) / group.sampleRateHz
  return source.measured.candidates
    .map(({ lagSamples, polarity }) => ({
      lagMs: (lagSamples * 1000) / group.sampleRateHz,
      turned: polarity !== strip.polarity,
    }))
    .filter(({ lagMs, turned }) => turned || Math.abs(lagMs - deliveredMs) > SAME_MS)
}

const figureOf = (
  blend: DeskBlend,
  source: string,
  map: LagMap,
  rivals: readonly Rival[],
  recordedTurned: boolean,
  id: string,
): Markup => {
  const label = `What ${blend.name} would lose with ${source} at any lag`
  const best = Math.min(...map.asDeliveredDb, ...map.turnedDb)
  return figure({
    id: `lag-map-${id}`,
    place: 'column',
    draw: (width, chartId) =>
      lagMapChart(
        map,
        rivals,
        recordedTurned,
        {
          id: chartId,
          title: label,
          description: `Pulled forward by ${milliseconds(map.deliveredMs)} as delivered, the blend loses ${fixed(map.deliveredDb, 1)} dB as a whole; the least at any lag and either way round is ${fixed(best, 1)} dB.`,
        },
        width,
      ),
    caption: html`What ${named(blend.name)} loses as a whole if ${named(source)} is pulled forward by any lag. <span class="key"><i class="ring after"></i> as delivered</span> <span class="key"><i class="ring before"></i> as recorded</span>${
      rivals.length > 0 && html` <span class="key">× positions that were considered</span>`
    } <span class="key"><i class="stroke after"></i> the way round it is delivered</span> <span class="key"><i class="stroke turned"></i> turned over</span>`,
    table: table(
      label,
      [
        { head: 'pulled forward, ms', numeric: true },
        { head: 'loss, dB', numeric: true },
        { head: 'turned over, dB', numeric: true },
      ],
      map.lagMs.flatMap((lag, i) =>
        i % ROWS_EVERY === 0
          ? [[signed(lag, 2), fixed(map.asDeliveredDb[i] ?? 0, 1), fixed(map.turnedDb[i] ?? 0, 1)]]
          : [],
      ),
      'dense',
    ),
  })
}

/** For each source that was moved: what its first blend would have lost at any other lag. */
export const lagMapFigures = (
  group: ReportGroup,
  spectra: OpenedSpectra,
  blends: readonly DeskBlend[],
  index: number,
): readonly Markup[] =>
  group.sources.flatMap((source, s) => {
    const blend = blends.find(
      ({ strips }) => strips.length > 1 && strips.some(strip => strip.source === source.name),
    )
    const strip = blend?.strips.find(strip => strip.source === source.name)
    if (blend === undefined || strip === undefined || strip.lagSamples === null) return []
    const rivals = rivalsOf(group, source, strip)
    const map = lagMap(spectra, blend, strip, group.sampleRateHz, [0, ...rivals.map(({ lagMs }) => lagMs)])
    return map === null
      ? []
      : [figureOf(blend, source.name, map, rivals, strip.polarity === 'inverted', `${index}-${s}`)]
  })
