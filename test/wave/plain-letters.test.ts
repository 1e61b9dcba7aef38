import fs from 'node:fs'
import { describe, expect, test } from 'vitest'
import { asciiText } from '../../src/wave/ascii-text.js'
import { openAtomic } from '../../src/wave/atomic-file.js'
import { codingHistoryLine } from '../../src/wave/stem-metadata.js'
import { temporaryFolder } from './wave-bytes.js'

const folder = temporaryFolder()

describe('text in plain letters, as `bext` demands', () => {
  test('every letter that does not fall apart by itself', () => {
    expect(asciiText('ß æ Æ œ Œ ø Ø ł Ł đ Đ þ Þ ı – — − ‘ ’ “ ” „ … × ±')).toBe(
      'ss ae AE oe OE o O l L d D th Th i - - - \' \' " " " ... x +-',
    )
  })

  test('accents off, other letters a question mark, control letters a blank, cut to a length', () => {
    expect(asciiText('Éclair Ångström Žluťoučký')).toBe('Eclair Angstrom Zlutoucky')
    expect(asciiText('a\tb\nc 漢字 ~')).toBe('a b c ?? ~')
    expect(asciiText('abcdef', 3)).toBe('abc')
    expect(asciiText('ﬁnal ½')).toBe('final 1?2')
  })
})

describe('a line of the coding history', () => {
  test.each([
    [24, 1, 'A=PCM,F=48000,W=24,M=mono,T=a; b c'],
    [16, 2, 'A=PCM,F=48000,W=16,M=stereo,T=a; b c'],
    ['32f', 3, 'A=PCM,F=48000,W=32,T=a; b c'],
  ] as const)('%s bit, %d channels', (depth, channels, line) => {
    expect(codingHistoryLine(48000, depth, channels, 'a, b\n c')).toBe(line)
  })
})

describe('a file that is made whole', () => {
  test('its start can be written again, and no more than its start', () => {
    const target = folder.path('made.bin')
    const made = openAtomic(target)
    made.write(Uint8Array.of(1, 2, 3))
    expect(made.bytes).toBe(3)
    expect(() => {
      made.rewriteStart(Uint8Array.of(9, 9, 9, 9))
    }).toThrow('more is to be rewritten than was written')
  })

  test('as long as what was written, it is written over', () => {
    const target = folder.path('over.bin')
    const made = openAtomic(target)
    made.write(Uint8Array.of(1, 2, 3))
    made.rewriteStart(Uint8Array.of(7, 8, 9))
    made.commit()
    expect([...fs.readFileSync(target)]).toEqual([7, 8, 9])
  })
})
