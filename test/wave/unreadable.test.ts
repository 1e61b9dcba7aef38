import fs from 'node:fs'
import { afterEach, describe, expect, test, vi } from 'vitest'
import { openBytes } from '../../src/wave/file-bytes.js'
import { internalFault } from '../../src/wave/wave-faults.js'
import { faultOf } from './faults-of.js'
import { temporaryFolder } from './wave-bytes.js'

/* What a system refuses, in whatever way, is told with a cure: every one of the sentences (found by `npm run mutants`). */

const folder = temporaryFolder()

afterEach(() => {
  vi.restoreAllMocks()
})

const refusal = (code: string): Error => Object.assign(new Error(`${code}: refused`), { code })

describe('a recording that the system does not give', () => {
  test.each([
    ['ENOENT', 'the file does not exist', 'check the spelling of the path, and that the disk is connected'],
    ['ENOTDIR', 'a folder in the path is a file', 'check the spelling of the path'],
    [
      'EACCES',
      'no right to read the file',
      'ask for the right to read it, or copy it to a folder of your own',
    ],
    [
      'EPERM',
      'no right to read the file',
      'ask for the right to read it, or copy it to a folder of your own',
    ],
    ['ELOOP', 'the path is a circle of links', 'mend the links, or name the file itself'],
    ['ENAMETOOLONG', 'the path is too long for this system', 'move the file to a shorter path'],
    ['EIO', 'the disk cannot read it', 'copy what can be saved from that disk before anything else'],
    ['EMFILE', 'too many files are open', 'close other programs, or raise the limit of open files'],
    ['ENFILE', 'too many files are open', 'close other programs, or raise the limit of open files'],
    ['EBADMSG', 'the file cannot be read (EBADMSG)', null],
  ])('%s', (code, message, mend) => {
    const path = folder.put('there.wav', [1, 2, 3])
    vi.spyOn(fs, 'openSync').mockImplementation(() => {
      throw refusal(code)
    })
    expect(faultOf(() => openBytes(path))).toMatchObject({
      code: 'WAVE_UNREADABLE',
      message,
      mend,
      file: path,
    })
  })

  test('without a code of the system, what was thrown is told', () => {
    const path = folder.put('there.wav', [1, 2, 3])
    vi.spyOn(fs, 'openSync').mockImplementation(() => {
      throw new Error('something else')
    })
    expect(faultOf(() => openBytes(path)).message).toBe('the file cannot be read (Error: something else)')
  })

  test('a folder, told as one', () => {
    expect(faultOf(() => openBytes(folder.path('.')))).toMatchObject({
      message: 'this is a folder, not a file',
      expected: 'a WAVE file on a disk',
    })
    expect(faultOf(() => openBytes('/dev/null')).message).toBe('this is a device, not a file')
  })

  test('a file that became a folder between looking and opening is refused and closed', () => {
    const path = folder.put('there.wav', [1, 2, 3])
    const looksLikeFile = fs.statSync(path, { bigint: true })
    vi.spyOn(fs, 'statSync').mockReturnValue(looksLikeFile)
    const closed = vi.spyOn(fs, 'closeSync')
    expect(faultOf(() => openBytes(folder.path('.'))).message).toBe('this is a folder, not a file')
    expect(closed).toHaveBeenCalledTimes(1)
  })
})

describe('bytes', () => {
  test('are read up to the end of the file and no further, and closing twice does no harm', () => {
    const bytes = openBytes(folder.put('five', [1, 2, 3, 4, 5]))
    expect(bytes.size).toBe(5)
    expect([...bytes.slice(3, 9)]).toEqual([4, 5])
    expect([...bytes.slice(5, 1)]).toEqual([])
    expect([...bytes.slice(9, 1)]).toEqual([])
    const into = new Uint8Array(4)
    expect(bytes.readInto(into, 2)).toBe(3)
    expect([...into]).toEqual([3, 4, 5, 0])
    const closed = vi.spyOn(fs, 'closeSync')
    bytes.close()
    bytes.close()
    expect(closed).toHaveBeenCalledTimes(1)
  })

  test('a read that gives less than was asked for is gone on with', () => {
    const bytes = openBytes(folder.put('five', [1, 2, 3, 4, 5]))
    const { readSync } = fs
    vi.spyOn(fs, 'readSync').mockImplementation(((
      handle: number,
      into: Uint8Array,
      offset: number,
      length: number,
      position: number,
    ) => readSync(handle, into, offset, Math.min(2, length), position)) as typeof fs.readSync)
    expect([...bytes.slice(0, 5)]).toEqual([1, 2, 3, 4, 5])
    bytes.close()
  })

  test('a file that is written to, or gone, has changed', () => {
    const path = folder.put('changing', [1, 2, 3])
    const bytes = openBytes(path)
    expect(bytes.changed()).toBe(false)
    fs.appendFileSync(path, 'more')
    expect(bytes.changed()).toBe(true)
    fs.rmSync(path)
    expect(bytes.changed()).toBe(true)
    bytes.close()
  })
})

test('a bug of ours asks to be reported', () => {
  expect(internalFault('the impossible').faults).toEqual([
    expect.objectContaining({
      code: 'INTERNAL',
      message: 'the impossible',
      file: null,
      mend: 'this is a bug in Sumwell: please report it with this text',
    }),
  ])
})
