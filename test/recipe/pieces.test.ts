import { describe, expect, test } from 'vitest'
import type { FileSource, WaveFacts } from '../../src/recipe/session.js'
import { load, MONO } from './recipe-room.js'

const recipe = (pieces: string, more = ''): string =>
  `recipe: 1\nsong: Test\ngroups:\n  bass:\n    reference: piezo\n    sources:\n      piezo: a.wav\n      bridge:\n        pieces: ${pieces}\n${more}`
const bridgeOf = async (text: string, facts?: (path: string) => WaveFacts): Promise<FileSource> => {
  const session = await load(text, facts === undefined ? {} : { facts })
  return session.groups[0]!.sources[1] as FileSource
}
const piecesOf = (source: FileSource) =>
  source.selection.laid!.pieces.map(p => [p.atFrame, p.fromFrame, p.toFrame])

describe('pieces of a source', () => {
  test('lie where at: says; the first begins the song; from and to cut the file', async () => {
    const source = await bridgeOf(
      recipe(
        '[b.wav, { file: c.wav, at: 0:12.5 }, { file: d.wav, at: 1152000 samples, from: 1 s, to: 0:02 }]',
      ),
    )
    expect(piecesOf(source)).toEqual([
      [0, 0, 1440000],
      [600000, 0, 1440000],
      [1152000, 48000, 96000],
    ])
    expect(source.facts).toMatchObject({ frames: 2040000, channels: 1, stampSamples: null })
    expect(source.selection.laid!.fadeFrames).toBe(480)
    expect(source.fileShown).toBe('b.wav + c.wav + d.wav')
    expect(source.pieces!.map(({ fileShown }) => fileShown)).toEqual(['b.wav', 'c.wav', 'd.wav'])
  })

  test('may state lag and polarity of their own; else those of the source hold', async () => {
    const { lag, polarity, pieces } = await bridgeOf(
      recipe(
        '[b.wav, { file: c.wav, at: 0:12.5, lag: 1 ms }, { file: d.wav, at: 0:20, lag: measured, polarity: inverted }]',
        '        lag: 96 samples\n',
      ),
    )
    expect([lag, polarity]).toEqual([{ samples: 96 }, 'measured'])
    expect(Object.keys(pieces![0]!).sort()).toEqual(['facts', 'file', 'fileShown'])
    expect(pieces!.slice(1).map(one => [one.lag, one.polarity])).toEqual([
      [{ samples: 48 }, undefined],
      ['measured', 'inverted'],
    ])
  })

  const stamped =
    (stamps: Readonly<Record<string, number>>) =>
    (path: string): WaveFacts => ({
      ...MONO,
      stampSamples: Object.entries(stamps).find(([name]) => path.endsWith(name))?.[1] ?? null,
    })

  test('lie by their time stamps where no at: is given; the earliest begins', async () => {
    const source = await bridgeOf(
      recipe('[b.wav, { file: c.wav, from: 1 s }]'),
      stamped({ 'b.wav': 200000, 'c.wav': 100000 }),
    )
    expect(piecesOf(source)).toEqual([
      [52000, 0, 1440000],
      [0, 48000, 1440000],
    ])
    expect(source.facts.stampSamples).toBe(148000)
  })

  test('one piece with both ties the time stamps to the song', async () => {
    const source = await bridgeOf(
      recipe('[b.wav, { file: c.wav }, { file: d.wav, at: 0:02 }]'),
      stamped({ 'b.wav': 480000, 'c.wav': 528000 }),
    )
    expect(piecesOf(source).map(([at]) => at)).toEqual([0, 48000, 96000])
    expect(source.facts.stampSamples).toBe(480000)
  })

  test('a longer cross-fade, the channel of all, and a word that holds every piece', async () => {
    const source = await bridgeOf(
      recipe('[b.wav, { file: c.wav, at: 0:01 }]', '        fade: 25 ms\n        channel: left\n'),
      path => ({ ...MONO, channels: 2, bitDepth: path.endsWith('c.wav') ? 32 : 16 }),
    )
    expect(source.selection).toMatchObject({ kind: 'pick', index: 0, laid: { fadeFrames: 1200 } })
    expect(source.facts).toMatchObject({ bitDepth: 32, channels: 2 })
  })
})
