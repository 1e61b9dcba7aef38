import type { Warning } from '../../terms/warning.js'
import type { MeasuredTraces } from '../group/measured-traces.js'
import type { SessionTrack } from '../session/session-source.js'
import { type PairImage, pairImage } from './pair-image.js'
import { type Side, sidesByName } from './side-words.js'

/** A single spot is believed alone from here on. */
const ALONE_DB = 4
const ALONE_SECONDS = 3e-4

interface Spot {
  readonly name: string
  readonly trace: number
  readonly side: Side
  /** Near its instrument. */
  readonly close: boolean
}

/**
 * Stereo pairs whose left and right are the wrong way round against the spots of their group. What side a spot is on is known
 * from its name (`tom-left`), from the recipe (`channel: left`), or, with no such spot, from another pair of the group. Told only
 * where no spot speaks for the pair; two must speak against it, or one clearly.
 */
export const swappedPairs = (
  group: string,
  tracks: readonly SessionTrack[],
  measured: MeasuredTraces,
): Warning[] => {
  const pairs = tracks.flatMap((track, i) => (isPair(track) ? [i] : []))
  if (pairs.length === 0) return []
  const tracesOf = (source: number): number[] =>
    measured.traces.flatMap((trace, t) => (trace.source === source ? [t] : []))
  const sides = sidesByName(tracks.map(t => t.source.name))
  const spots = tracks.flatMap((track, i): Spot[] => {
    const side = recipeSide(track) ?? sides[i] ?? null
    const [trace] = tracesOf(i)
    return track.scan.channels === 1 && side !== null && trace !== undefined
      ? [{ name: track.source.name, trace, side, close: true }]
      : []
  })
  const told: Warning[] = []
  const trusted: number[] = []
  for (const pair of pairs) {
    const [left, right] = tracesOf(pair) as [number, number]
    const bySpots = opinion(measured, spots, left, right)
    const other = trusted.find(o => o !== pair)
    const by =
      bySpots.length > 0 || other === undefined
        ? bySpots
        : opinion(measured, channelsAsSpots(tracks[other]!, tracesOf(other)), left, right)
    const against = by.filter(o => o.image.side !== o.spot.side)
    if (against.length > 0 && against.length === by.length && isEnough(against, measured)) {
      told.push({
        code: 'CHANNELS_SWAPPED',
        group,
        source: tracks[pair]!.source.name,
        message: sentence(against),
      })
    } else trusted.push(pair)
  }
  return told
}

interface Opinion {
  readonly spot: Spot
  readonly image: PairImage
}

const isPair = ({ file, scan, fromGroup }: SessionTrack): boolean =>
  fromGroup === null && scan.channels === 2 && scan.deadChannels.length === 0 && file.selection.kind === 'all'

const recipeSide = ({ file: { selection, facts } }: SessionTrack): Side | null =>
  selection.kind === 'pick' && facts.channels === 2 ? (selection.index === 0 ? 'left' : 'right') : null

const channelsAsSpots = ({ source }: SessionTrack, [left, right]: readonly number[]): Spot[] => [
  { name: `the left of ${source.name}`, trace: left!, side: 'left', close: false },
  { name: `the right of ${source.name}`, trace: right!, side: 'right', close: false },
]

const opinion = (
  { gathered }: MeasuredTraces,
  spots: readonly Spot[],
  left: number,
  right: number,
): Opinion[] =>
  spots.flatMap(spot => {
    const image = pairImage(gathered, spot.trace, left, right, spot.close)
    return image === null ? [] : [{ spot, image }]
  })

const isEnough = (against: readonly Opinion[], { task }: MeasuredTraces): boolean =>
  against.length > 1 ||
  against.some(
    ({ image }) =>
      Math.abs(image.levelDb) > ALONE_DB ||
      Math.abs(image.lateSamples ?? 0) > ALONE_SECONDS * task.sampleRateHz,
  )

const sentence = (against: readonly Opinion[]): string => {
  const heard = against.map(({ spot, image }) => `${spot.name} on its ${image.side}`).join(' and ')
  return `Left and right seem to be swapped: it hears ${heard}. Check the patch and the order of its channels, or whether the names are from the player's side and not the listener's. Nothing was changed.`
}
