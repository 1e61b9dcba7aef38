import { execFileSync } from 'node:child_process'
import fs from 'node:fs'
import path from 'node:path'
import { describe, expect, test } from 'vitest'
import { archiveFolder } from '../../src/render/archive-folder.js'
import { CHECKSUM_LIST, checksumText } from '../../src/render/checksum-list.js'
import { crc32 } from '../../src/render/crc32.js'
import { layOutZip } from '../../src/render/zip-layout.js'
import { SumwellError } from '../../src/terms/fault.js'
import { sha256OfFile } from '../../src/wave/hash.js'
import { newFolder } from './setting/takes.js'

/** What Python's zipfile says of an archive: the first bad file, then name, size, time and rights of each, and what stands in it. */
const asked = `
import sys, zipfile, hashlib, json
with zipfile.ZipFile(sys.argv[1]) as z:
    print(json.dumps([z.testzip(), [[i.filename, i.file_size, i.date_time, oct(i.external_attr >> 16), i.compress_type, hashlib.sha256(z.read(i)).hexdigest()] for i in z.infolist()]]))
`
const pythonSays = (file: string): unknown =>
  JSON.parse(execFileSync('python3', ['-c', asked, file], { encoding: 'utf8' }))

const sample = (): string => {
  const folder = path.join(newFolder(), 'song_take4')
  fs.mkdirSync(folder)
  fs.writeFileSync(path.join(folder, 'b.wav'), Buffer.alloc(2_500_001, 'sound'))
  fs.writeFileSync(path.join(folder, 'a.wav'), '')
  fs.writeFileSync(path.join(folder, 'strange.txt'), 'not of the delivery')
  const sums = new Map(['a.wav', 'b.wav'].map(name => [name, sha256OfFile(path.join(folder, name))]))
  fs.writeFileSync(path.join(folder, CHECKSUM_LIST), checksumText(sums))
  return folder
}

test('CRC-32 of the digits 1 to 9 is CBF43926 (the usual check value), however they are cut', () => {
  const digits = new TextEncoder().encode('123456789')
  for (let cut = 0; cut <= 9; cut++) {
    expect(crc32(digits.subarray(cut), crc32(digits.subarray(0, cut)))).toBe(0xcbf43926)
  }
})

describe('an archive', () => {
  test('holds what the list names, and the list, in the order of their names; the same bytes at any time', () => {
    const folder = sample()
    const file = archiveFolder(folder)
    const first = fs.readFileSync(file)
    const rows = [CHECKSUM_LIST, 'a.wav', 'b.wav'].map(name => {
      const inside = path.join(folder, name)
      return [
        `song_take4/${name}`,
        fs.statSync(inside).size,
        [1980, 1, 1, 0, 0, 0],
        '0o100644',
        0,
        sha256OfFile(inside),
      ]
    })
    expect(pythonSays(file)).toEqual([null, rows])
    fs.utimesSync(path.join(folder, 'b.wav'), 1, 1)
    expect(fs.readFileSync(archiveFolder(folder)).equals(first)).toBe(true)
    expect(fs.readdirSync(path.dirname(folder)).sort()).toEqual(['song_take4', 'song_take4.zip'])
  })

  test('is not made of a folder that is not complete, or not as it was delivered', () => {
    const folder = sample()
    fs.appendFileSync(path.join(folder, 'b.wav'), '!')
    expect(() => archiveFolder(folder)).toThrow(SumwellError)
    fs.rmSync(path.join(folder, CHECKSUM_LIST))
    expect(() => archiveFolder(folder)).toThrow(/SHA256SUMS/)
    expect(fs.readdirSync(path.dirname(folder))).toEqual(['song_take4'])
  })

  // The fields of 64 bits, without gigabytes: as if nothing over 100 bytes fitted into 32 bits.
  test('with sizes and places over 32 bits is read by others', () => {
    const contents = [Buffer.alloc(150, 'x'), Buffer.from('short'), Buffer.alloc(300, 'y')]
    const entries = contents.map((bytes, i) => ({
      name: `ä${i}.wav`,
      bytes: bytes.length,
      crc32: crc32(bytes),
    }))
    const { headers, directory, totalBytes } = layOutZip(entries, 100)
    const file = path.join(newFolder(), 'long.zip')
    fs.writeFileSync(
      file,
      Buffer.concat([...contents.flatMap((bytes, i) => [headers[i]!, bytes]), directory]),
    )
    expect(fs.statSync(file).size).toBe(totalBytes)
    const [bad, rows] = pythonSays(file) as [unknown, unknown[][]]
    expect(bad).toBeNull()
    expect(rows.map(row => row.slice(0, 2))).toEqual([
      ['ä0.wav', 150],
      ['ä1.wav', 5],
      ['ä2.wav', 300],
    ])
  })
})
