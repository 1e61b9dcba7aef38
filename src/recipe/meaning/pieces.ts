import type { SumwellError } from '../../terms/fault.js'
import { fieldOf, type Located, type LocatedScalar, textOf } from '../located.js'
import { laidFacts } from '../pieces/laid-facts.js'
import { heardStretches, type LaidPiece, type PieceLayout } from '../pieces/piece-layout.js'
import type { PieceRecording, WaveFacts } from '../session.js'
import { clockText } from '../words/passage.js'
import { secondsOf } from '../words/quantity.js'
import type { MeaningContext } from './context.js'
import { momentAt } from './moment.js'
import { piecePlaces } from './piece-places.js'
import { checkRange, quantityAt } from './quantities.js'
import { type FoundFile, sourceFile } from './source-file.js'

/** A source in pieces as the recipe tells it. */
export interface PiecesDraft {
  readonly nodes: readonly PieceNode[]
  /** What is laid from them; null where something of it cannot be used, which was reported. */
  readonly laid: {
    readonly layout: PieceLayout
    readonly recordings: readonly PieceRecording[]
    readonly facts: WaveFacts
  } | null
}

/** One entry of the list, with its file. */
export interface PieceNode {
  readonly node: Located
  /** Where the file is named. */
  readonly at: LocatedScalar['at']
  readonly file: FoundFile
}

const FADE_SECONDS = 0.01
const FADE_RANGE = { from: 0, to: 1, shown: 'at most 1 s' }
/** A shorter piece is a slip of the pen. */
const SHORTEST_SECONDS = 0.05

/**
 * The pieces of a source, found and laid into one timeline. Reports files that cannot be used or do not fit each other, places that
 * nothing tells, stretches beyond a file, and pieces of which nothing is heard.
 */
export const draftPieces = (
  list: Located,
  fadeNode: Located | undefined,
  context: MeaningContext,
  probes: Map<string, WaveFacts | SumwellError>,
): PiecesDraft => {
  const items = list.kind === 'list' ? list.items : []
  const nodes = items.flatMap((node): readonly PieceNode[] => {
    const fileNode = node.kind === 'map' ? fieldOf(node, 'file') : node
    if (fileNode?.kind !== 'scalar' || textOf(fileNode) === undefined) return []
    if (context.faults.toldAt(fileNode.at)) return []
    return [{ node, at: fileNode.at, file: sourceFile(fileNode, context, probes) }]
  })
  const facts = nodes.flatMap(({ file }) => (file.facts === null ? [] : [file.facts]))
  const isWhole = facts.length === items.length && facts.length > 0
  if (!isWhole || !fitTogether(nodes, context)) return { nodes, laid: null }
  const pieces = laidPieces(nodes, context)
  if (pieces === null) return { nodes, laid: null }
  const layout: PieceLayout = {
    pieces: pieces.pieces,
    fadeFrames: fadeFramesOf(fadeNode, facts[0]!.sampleRateHz, context),
  }
  if (!areHeard(layout, nodes, context)) return { nodes, laid: null }
  const recordings = nodes.map(({ file }) => ({
    file: file.absolute,
    fileShown: file.shown,
    facts: file.facts!,
  }))
  return {
    nodes,
    laid: { layout, recordings, facts: { ...laidFacts(layout, facts), stampSamples: pieces.stampSamples } },
  }
}

const fadeFramesOf = (node: Located | undefined, rate: number, { faults }: MeaningContext): number => {
  const stated = quantityAt(node, 'time')
  const seconds = stated === null ? FADE_SECONDS : (secondsOf(stated, rate) ?? FADE_SECONDS)
  if (stated !== null) checkRange(node, seconds, FADE_RANGE, faults)
  return Math.round(seconds * rate)
}

/** One rate and one number of channels for all pieces. */
const fitTogether = (nodes: readonly PieceNode[], { faults }: MeaningContext): boolean => {
  const first = nodes[0]!.file
  let fit = true
  for (const { at, file } of nodes.slice(1)) {
    if (file.facts!.sampleRateHz !== first.facts!.sampleRateHz) {
      fit = false
      faults.add(
        'RECIPE_RATE_MISMATCH',
        `${file.shown} has ${file.facts!.sampleRateHz} Hz, the first piece ${first.facts!.sampleRateHz} Hz`,
        at,
        {
          expected: `${first.facts!.sampleRateHz} Hz, as ${first.shown}`,
          mend: 'convert the file with a resampler first; where only the rate in its header is wrong, correct the header',
        },
      )
    } else if (file.facts!.channels !== first.facts!.channels) {
      fit = false
      faults.add(
        'RECIPE_CHANNEL',
        `${file.shown} has ${file.facts!.channels} channels, the first piece ${first.facts!.channels}`,
        at,
        {
          expected: `${first.facts!.channels}, as ${first.shown}`,
          mend: 'export all pieces of a track with the same channels',
        },
      )
    }
  }
  return fit
}

const laidPieces = (
  nodes: readonly PieceNode[],
  context: MeaningContext,
): { readonly pieces: readonly LaidPiece[]; readonly stampSamples: number | null } | null => {
  const used = nodes.map(node => usedStretch(node, context))
  if (used.some(stretch => stretch === null)) return null
  const stretches = used.filter(stretch => stretch !== null)
  const places = piecePlaces(
    nodes.map(({ at, node, file }, i) => ({
      fileAt: at,
      node,
      shown: file.shown,
      facts: file.facts!,
      fromFrame: stretches[i]!.fromFrame,
    })),
    context,
  )
  if (places === null) return null
  return {
    stampSamples: places.stampSamples,
    pieces: nodes.map(({ file }, i) => ({
      file: file.absolute,
      fileFrames: file.facts!.frames,
      ...stretches[i]!,
      atFrame: places.atFrames[i]!,
    })),
  }
}

const usedStretch = (
  { node, file }: PieceNode,
  { faults }: MeaningContext,
): Pick<LaidPiece, 'fromFrame' | 'toFrame'> | null => {
  const { sampleRateHz, frames } = file.facts!
  const fromNode = fieldOf(node, 'from')
  const toNode = fieldOf(node, 'to')
  const fromFrame = momentAt(fromNode, sampleRateHz) ?? 0
  const toFrame = momentAt(toNode, sampleRateHz) ?? frames
  const end = clockText(frames / sampleRateHz)
  for (const [moment, frame] of [
    [fromNode, fromFrame],
    [toNode, toFrame],
  ] as const) {
    if (moment === undefined || frame <= frames) continue
    faults.add('RECIPE_PIECES', `this lies beyond the end of ${file.shown}`, moment.at, {
      expected: `times up to ${end}`,
      mend: 'from and to are counted from the start of the file, at from the start of the song',
    })
    return null
  }
  if (toFrame - fromFrame >= SHORTEST_SECONDS * sampleRateHz) return { fromFrame, toFrame }
  const at = (toNode ?? fromNode ?? node).at
  faults.add(
    'RECIPE_PIECES',
    `this piece uses less than ${1000 * SHORTEST_SECONDS} ms of ${file.shown}`,
    at,
    {
      expected: 'to after from, and a stretch that can be heard',
      mend: 'check the times, or remove the piece',
    },
  )
  return null
}

/** Something of each piece has to be heard: one that others cover from end to end was meant otherwise. */
const areHeard = (layout: PieceLayout, nodes: readonly PieceNode[], { faults }: MeaningContext): boolean => {
  const heard = new Set(heardStretches(layout).map(({ piece }) => piece))
  nodes.forEach(({ at, file }, i) => {
    if (heard.has(i)) return
    faults.add('RECIPE_PIECES', `nothing is heard of ${file.shown}: later pieces lie over all of it`, at, {
      expected: 'pieces in the order in which they lie on each other, the take itself first',
      mend: 'check the order and the times, or remove this piece',
    })
  })
  return heard.size === nodes.length
}
