import type { Warning } from '../terms/warning.js'
import { parseBroadcastExtension } from './broadcast-extension.js'
import type { FileBytes } from './file-bytes.js'
import { parseIxml } from './ixml.js'
import { parseCues, parseListTexts } from './marker-chunks.js'
import { readRawChunks } from './raw-chunks.js'
import type { ChunkPlace } from './riff-chunks.js'
import { waveWarning } from './wave-faults.js'
import type { RawChunk, WaveMetadata } from './wave-metadata.js'

/** Reads everything that a file says beside its audio. A chunk that cannot be read is a warning, never a fault. */
export const readMetadata = (
  file: FileBytes,
  chunks: readonly ChunkPlace[],
): { metadata: WaveMetadata; warnings: readonly Warning[] } => {
  const raw = readRawChunks(file, chunks)
  const warnings: Warning[] = []
  const parsed = <Value>(
    chunk: RawChunk | undefined,
    parse: (contents: Uint8Array) => Value,
  ): Value | null => {
    if (chunk === undefined) return null
    try {
      if (chunk.contents === null) throw new Error('it is cut off or over 1 MiB')
      return parse(chunk.contents)
    } catch (error) {
      // Whatever it is that the metadata library stumbles over: the audio can still be used.
      const why = error instanceof Error ? error.message : String(error)
      const message = `the chunk "${chunk.id}" (byte ${chunk.headerAt}) cannot be read and is left out: ${why}`
      warnings.push(waveWarning('WAVE_METADATA', file.path, message))
      return null
    }
  }
  const first = (id: string): RawChunk | undefined => raw.find(chunk => chunk.id === id)
  const lists = raw.filter(chunk => chunk.id === 'LIST').flatMap(chunk => parsed(chunk, parseListTexts) ?? [])
  const labels = new Map(lists.flatMap(list => [...list.labels]))
  const cues = parsed(first('cue '), parseCues) ?? []
  return {
    metadata: {
      broadcast: parsed(first('bext'), parseBroadcastExtension),
      ixml: parsed(first('iXML'), parseIxml),
      cues: cues.map(cue => ({ ...cue, label: labels.get(cue.id) ?? null })),
      info: lists.flatMap(list => list.info),
      chunks: raw,
    },
    warnings,
  }
}
