import { type Dirent, readdirSync } from 'node:fs'
import { join } from 'node:path'
import type { WaveFacts } from '../../recipe/session.js'
import { fault, SumwellError } from '../../terms/fault.js'
import { probeWave } from '../../wave/probe.js'
import { isRecordingName } from '../../wave/recording-name.js'

export interface FoundRecording {
  /** Absolute, and relative to the folder with forward slashes. */
  readonly file: string
  readonly shown: string
  readonly facts: WaveFacts
}

export interface LeftOut {
  readonly shown: string
  readonly why: string
}

export interface FoundRecordings {
  /** In the order of their paths, numbers by size. */
  readonly recordings: readonly FoundRecording[]
  /** WAVE files that cannot be used, with the reason. */
  readonly leftOut: readonly LeftOut[]
}

const DEEPEST = 4
const MOST_FILES = 2000
/** A folder that holds one of these was written by a render: nothing in it is a recording. */
const DELIVERED = new Set(['report.json', 'handoff.md', 'SHA256SUMS'])

/** The WAVE files of a folder and of the folders in it, four deep. Hidden ones, links to folders and delivered stems are left out. */
export const findRecordings = (folder: string): FoundRecordings => {
  const recordings: FoundRecording[] = []
  const leftOut: LeftOut[] = []
  const shown = wavesIn(folder, '', DEEPEST, leftOut).slice(0, MOST_FILES).sort(inNumberOrder)
  for (const name of shown) {
    const file = join(folder, name)
    if (/[{}\p{Cc}]/u.test(name)) {
      leftOut.push({
        shown: name,
        why: 'a recipe cannot name it: it has a brace or a control character in its name',
      })
      continue
    }
    try {
      recordings.push({ file, shown: name, facts: probeWave(file).facts })
    } catch (error) {
      if (!(error instanceof SumwellError)) throw error
      leftOut.push({ shown: name, why: error.faults[0]?.message ?? 'it cannot be read' })
    }
  }
  return { recordings, leftOut }
}

const inNumberOrder = new Intl.Collator('en', { numeric: true, sensitivity: 'variant' }).compare

const entriesOf = (folder: string, prefix: string, leftOut: LeftOut[]): readonly Dirent[] => {
  try {
    return readdirSync(folder, { withFileTypes: true })
  } catch (error) {
    const why = 'the folder may not be read'
    if (prefix === '') {
      const mend = 'ask for the right to read it, or copy it to a folder of your own'
      throw new SumwellError(fault('WAVE_UNREADABLE', why, { file: folder, mend }), error)
    }
    leftOut.push({ shown: prefix, why })
    return []
  }
}

const wavesIn = (folder: string, prefix: string, depth: number, leftOut: LeftOut[]): readonly string[] => {
  const entries = entriesOf(folder, prefix, leftOut).filter(({ name }) => !name.startsWith('.'))
  if (entries.some(entry => entry.isFile() && DELIVERED.has(entry.name))) return []
  return entries.flatMap(entry => {
    if (entry.isDirectory())
      return depth > 0 && entry.name !== 'node_modules'
        ? wavesIn(join(folder, entry.name), `${prefix}${entry.name}/`, depth - 1, leftOut)
        : []
    return isRecordingName(entry.name) ? [`${prefix}${entry.name}`] : []
  })
}
