import { describe, expect, test } from 'vitest'
import { fault, SumwellError } from '../../src/terms/fault.js'
import { notWave } from '../../src/wave/not-wave.js'
import { noRoomFault, stopped, writeFault } from '../../src/wave/write-faults.js'
import { ascii } from './wave-bytes.js'

/* Word for word: what is said where a file cannot be written, or is another kind of file (found by `npm run mutants`). */

const refused = (code: string): Error => Object.assign(new Error(code), { code })
const told = (error: SumwellError) => error.faults[0]!

describe('a file that cannot be written', () => {
  const room = 'make room there or deliver to another disk, then run again; the former file is untouched'
  const right = 'ask for the right to write there, or deliver to a folder of your own'
  const another = 'choose another folder, or move that file away'
  test.each([
    ['ENOSPC', 'WRITE_DISK_FULL', 'the disk is full', room],
    ['EDQUOT', 'WRITE_DISK_FULL', 'the quota of disk space is used up', room],
    ['EACCES', 'WRITE_NOT_ALLOWED', 'no right to write there', right],
    ['EPERM', 'WRITE_NOT_ALLOWED', 'no right to write there', right],
    ['EROFS', 'WRITE_NOT_ALLOWED', 'the disk is read-only', right],
    [
      'EFBIG',
      'WRITE_FAILED',
      'the disk does not take a file of this size',
      'deliver to a disk with another file system',
    ],
    ['ENOTDIR', 'WRITE_FAILED', 'a folder in the path is a file', another],
    ['EEXIST', 'WRITE_FAILED', 'a folder in the path is a file', another],
    [
      'EISDIR',
      'WRITE_FAILED',
      'a folder of this name is in the way',
      'choose another name, or move that folder away',
    ],
    [
      'ENOENT',
      'WRITE_FAILED',
      'the folder is gone',
      'check that the disk is still connected, then run again',
    ],
    ['ENAMETOOLONG', 'WRITE_FAILED', 'the name is too long for this disk', 'choose a shorter name or folder'],
    ['EIO', 'WRITE_FAILED', 'the disk reports an error', 'check the disk; the former file is untouched'],
    [
      'EMFILE',
      'WRITE_FAILED',
      'too many files are open',
      'close other programs, or raise the limit of open files',
    ],
    ['EODD', 'WRITE_FAILED', 'writing failed (EODD)', 'run again; the former file is untouched'],
  ])('%s', (system, code, message, mend) => {
    const error = writeFault('/stems/a.wav', refused(system))
    expect(told(error)).toMatchObject({
      code,
      message: `${message}: the file cannot be written`,
      file: '/stems/a.wav',
      mend,
    })
  })

  test('for a reason that no system gave, and for one that is ours already', () => {
    expect(told(writeFault('a', 'odd')).message).toBe('writing failed (odd): the file cannot be written')
    const ours = new SumwellError(fault('INTERNAL', 'ours', { mend: 'none' }))
    expect(writeFault('a', ours)).toBe(ours)
  })

  test('seen by ourselves, and too little room beforehand', () => {
    expect(told(stopped('a', 'it shrank'))).toMatchObject({
      code: 'WRITE_FAILED',
      message: 'it shrank',
      file: 'a',
      mend: 'check the disk; the former file is untouched',
    })
    expect(told(stopped('a', 'it shrank', 'so'))).toMatchObject({ mend: 'so' })
    expect(told(noRoomFault('a', 3 * 2 ** 20, 2 ** 19))).toMatchObject({
      code: 'WRITE_DISK_FULL',
      message: 'the file needs 3.0 MiB, the disk has 0.5 MiB left',
      file: 'a',
      mend: room,
    })
  })
})

describe('a file of another kind', () => {
  test.each([
    ['', ': it is an empty file'],
    ['RIFX....WAVE', ': it is a big-endian RIFX file'],
    ['RIFF....AVI ', ': it is a RIFF file without WAVE in it'],
    ['RF64....xxxx', ': it is a RIFF file without WAVE in it'],
    ['BW64....xxxx', ': it is a RIFF file without WAVE in it'],
    ['riff\x2e\x91\xcf\x11', ': it is a Wave64 file'],
    ['FORM....AIFF', ': it is an AIFF file'],
    ['FORM....AIFC', ': it is an AIFF file'],
    ['FORM....8SVX', ''],
    ['fLaC', ': it is a FLAC file'],
    ['OggS', ': it is an Ogg file'],
    ['caff', ': it is a CAF file'],
    ['ID3\x03', ': it is an MPEG audio file'],
    ['\xff\xfb\x90', ': it is an MPEG audio file'],
    ['....ftypM4A ', ': it is an MP4 file'],
    ['\0\x05\x16\x07\0', ': it is a side file of a Mac disk (its name starts with "._"), not the recording'],
    ['\0\0\0\0', ': it is filled with zero bytes: a copy that never finished, or a damaged disk'],
    ['xRIFF', ''],
    ['hello', ''],
  ])('%j', (opening, kind) => {
    const one = told(notWave('a.wav', Uint8Array.from(ascii(opening))))
    expect(one).toMatchObject({
      code: 'WAVE_NOT_WAVE',
      file: 'a.wav',
      message: `this is no WAVE file${kind}`,
      expected: 'RIFF, RF64 or BW64 at byte 0 and WAVE at byte 8',
    })
    const holdsNothing = /empty|side file|zero bytes/.test(kind)
    expect(one.mend).toBe(
      holdsNothing
        ? 'copy or export the recording again from the machine or program that made it'
        : 'convert it to WAVE with the program that made it, without changing rate or depth',
    )
  })
})
