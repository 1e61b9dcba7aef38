import { createHash } from 'node:crypto'
import path from 'node:path'
import { fault, SumwellError } from '../terms/fault.js'
import { openAtomic } from '../wave/atomic-file.js'
import { openBytes } from '../wave/file-bytes.js'
import { CHECKSUM_LIST, readChecksums } from './checksum-list.js'
import { crc32 } from './crc32.js'
import { layOutZip, type ZipEntry } from './zip-layout.js'

const BLOCK_BYTES = 1 << 20

/**
 * Packs a complete delivery into one zip file beside its folder: the files of its list of checksums in the order of their names, and the list.
 * Nothing is compressed and no time is kept, so that the same files give the same bytes. Memory does not grow with the files.
 * @returns the path of the archive
 * @throws SumwellError VERIFY_DIFFERS where the folder is not complete or a file is not as listed; WAVE_UNREADABLE, WRITE_…
 */
export const archiveFolder = (folder: string): string => {
  const list = readChecksums(path.join(folder, CHECKSUM_LIST))
  if (list === null) throw differs(folder, `there is no ${CHECKSUM_LIST}: the delivery is not complete`)
  const names = [...list.keys(), CHECKSUM_LIST].sort((a, b) => (a < b ? -1 : 1))
  const entries = names.map((name): ZipEntry => {
    const file = path.join(folder, name)
    const { sha256, ...sums } = sumsOf(file)
    const listed = list.get(name)
    if (listed !== undefined && listed !== sha256)
      throw differs(file, 'its bytes are not those of the list of checksums')
    return { name: `${path.basename(folder)}/${name}`, ...sums }
  })
  const layout = layOutZip(entries)
  const target = `${path.resolve(folder)}.zip`
  const archive = openAtomic(target, { expectedBytes: layout.totalBytes })
  try {
    names.forEach((name, i) => {
      const before = archive.bytes + layout.headers[i]!.length
      archive.write(layout.headers[i]!)
      forEachPart(path.join(folder, name), part => {
        archive.write(part)
      })
      if (archive.bytes - before !== entries[i]!.bytes)
        throw differs(path.join(folder, name), 'it was written to while it was packed')
    })
    archive.write(layout.directory)
    archive.commit()
  } finally {
    archive.discard()
  }
  return target
}

const sumsOf = (file: string): { bytes: number; crc32: number; sha256: string } => {
  const hash = createHash('sha256')
  let bytes = 0
  let crc = 0
  forEachPart(file, part => {
    hash.update(part)
    crc = crc32(part, crc)
    bytes += part.length
  })
  return { bytes, crc32: crc, sha256: hash.digest('hex') }
}

const forEachPart = (path: string, action: (part: Uint8Array) => void): void => {
  const file = openBytes(path)
  try {
    const block = new Uint8Array(BLOCK_BYTES)
    for (let at = 0; ; ) {
      const count = file.readInto(block, at)
      if (count > 0) action(block.subarray(0, count))
      at += count
      if (count < block.length) return
    }
  } finally {
    file.close()
  }
}

const differs = (file: string, message: string): SumwellError =>
  new SumwellError(fault('VERIFY_DIFFERS', message, { file, mend: 'render again, then pack it' }))
