import fs from 'node:fs'
import path from 'node:path'
import { readPlainIfThere } from '../terms/plain-file.js'
import { writeWhole } from '../wave/atomic-file.js'
import { sha256OfFile } from '../wave/hash.js'
import {
  CHECKSUM_LIST,
  type Checksums,
  checksumText,
  LARGEST_LIST_BYTES,
  readChecksums,
} from './checksum-list.js'
import type { FolderHold } from './folder-hold.js'
import { putInPlace } from './put-in-place.js'

/** Everything in a delivery that is no stem: gone while the stems are exchanged, so that nothing speaks for a mixture. */
export const PAPERS = ['report.json', 'report.html', 'handoff.md'] as const

/** Stems that earlier renders put here and that this recipe no longer makes, with the checksums that they were delivered with. */
const FORMER_LIST = '.sumwell-former-sums'

/** A stem of an earlier render that this one does not make. */
export interface FormerStem {
  readonly fileName: string
  /** `left`: still there. `removed`: taken away, as wished. `changed`: still there though removal was wished, for it is not as we wrote it. */
  readonly state: 'left' | 'removed' | 'changed'
}

export interface Delivery {
  /** All stems of the delivery with their checksums, by file name. */
  readonly sums: Checksums
  /** Those of them that wait in the workshop; the others lie in their places already. */
  readonly made: readonly string[]
  /** Names of papers that wait in the workshop. */
  readonly papers: readonly string[]
  /** Stems that this recipe no longer makes are removed, where they are as we wrote them. */
  readonly prune: boolean
}

/**
 * Exchanges one delivery for another. First the former list of checksums and the former papers go, then the stems are put in place, then the new
 * papers, and the new list last: a folder that holds the list holds what it lists, whenever the power fails.
 * @throws SumwellError WRITE_…; the former delivery is there then
 */
export const deliverFolder = (
  { folder, workshop, requireSame }: FolderHold,
  delivery: Delivery,
): readonly FormerStem[] => {
  requireSame()
  const inFolder = (name: string): string => path.join(folder, name)
  const waiting = (name: string): string => path.join(workshop, name)
  const place = (name: string) => ({ from: waiting(name), to: inFolder(name) })
  const former = formerSums(folder)
  const others = [...former].filter(([name]) => !delivery.sums.has(name) && fs.existsSync(inFolder(name)))
  const stems = others.map(([fileName, sha256]): FormerStem => {
    if (!delivery.prune) return { fileName, state: 'left' }
    return { fileName, state: isStill(inFolder(fileName), sha256) ? 'removed' : 'changed' }
  })
  const staying = others.filter(([name]) => stems.some(s => s.fileName === name && s.state !== 'removed'))
  const papers = delivery.papers.map(name => [name, sha256OfFile(waiting(name))] as const)
  writeWhole(waiting(CHECKSUM_LIST), checksumText(new Map([...delivery.sums, ...papers])))
  const list = inFolder(FORMER_LIST)
  const listBefore = readPlainIfThere(list, LARGEST_LIST_BYTES)
  // What was delivered once is not forgotten when the run is killed half-way.
  if (former.size > 0) writeWhole(list, checksumText(former))
  try {
    putInPlace({
      away: [
        ...[CHECKSUM_LIST, ...PAPERS].map(inFolder),
        ...stems.filter(({ state }) => state === 'removed').map(({ fileName }) => inFolder(fileName)),
      ],
      placements: [...delivery.made, ...delivery.papers].map(place),
      seal: place(CHECKSUM_LIST),
      keep: waiting('former'),
    })
  } catch (error) {
    if (listBefore === null) fs.rmSync(list, { force: true })
    else writeWhole(list, listBefore)
    throw error
  }
  if (staying.length > 0) writeWhole(list, checksumText(new Map(staying)))
  else fs.rmSync(list, { force: true })
  return stems
}

/** Stems that were delivered here before: those of the last render, and those that were left behind by earlier ones. */
const formerSums = (folder: string): Checksums => {
  const lists = [FORMER_LIST, CHECKSUM_LIST].map(
    name => readChecksums(path.join(folder, name)) ?? new Map<string, string>(),
  )
  return new Map(lists.flatMap(list => [...list]).filter(([name]) => !PAPERS.some(paper => paper === name)))
}

const isStill = (file: string, sha256: string): boolean => {
  try {
    return fs.lstatSync(file).isFile() && sha256OfFile(file) === sha256
  } catch {
    return false
  }
}
