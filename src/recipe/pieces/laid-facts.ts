import type { WaveFacts } from '../session.js'
import { laidFrames, type PieceLayout } from './piece-layout.js'

/**
 * What a laid recording is as a whole: rate and channels of its pieces, which have them in common, and a word that holds the samples of
 * each. Without a time stamp of its own.
 */
export const laidFacts = (layout: PieceLayout, pieces: readonly WaveFacts[]): WaveFacts => {
  const [first] = pieces
  if (first === undefined) throw new Error('a laid recording has no pieces')
  return {
    sampleRateHz: first.sampleRateHz,
    channels: first.channels,
    frames: laidFrames(layout),
    bitDepth: Math.max(...pieces.map(({ bitDepth }) => bitDepth)),
    sampleFormat: pieces.some(({ sampleFormat }) => sampleFormat === 'float') ? 'float' : 'int',
    stampSamples: null,
  }
}
