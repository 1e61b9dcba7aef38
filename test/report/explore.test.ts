import { describe, expect, it } from 'vitest'
import { parse } from 'yaml'
import { blendOfCell } from '../../src/report/explore/cell-blend.js'
import { cellWords } from '../../src/report/explore/cell-words.js'
import { type Cell, cellsOf, choicesOf, RATIOS } from '../../src/report/explore/choices.js'
import { writtenCell } from '../../src/report/explore/written-cell.js'
import { inventedDesk } from './lantern-street/desk.js'

const source = (name: string, polarity: 'normal' | 'inverted' = 'normal', isGroup = false) => ({
  name,
  polarity,
  isGroup,
})

describe('the grid of blends', () => {
  it('of two sources: five ratios, both ways round, lined up and as recorded, each once', () => {
    const choices = choicesOf({ reference: 'a', sources: [source('b', 'inverted'), source('a')] })
    expect(choices.grids).toHaveLength(1)
    const [grid] = choices.grids
    expect([grid!.first, grid!.second, grid!.rows.map(({ weights }) => weights)]).toEqual(['a', 'b', RATIOS])
    expect(grid!.columns).toEqual([
      { aligned: true, polarity: 'normal', asDelivered: false },
      { aligned: true, polarity: 'inverted', asDelivered: true },
      { aligned: false, polarity: 'normal', asDelivered: false },
      { aligned: false, polarity: 'inverted', asDelivered: false },
    ])
    const cells = cellsOf(choices)
    expect(cells).toHaveLength(21)
    expect(new Set(cells.map(cell => JSON.stringify(cell))).size).toBe(21)
    expect(new Set(cells.map(cellWords)).size).toBe(21)
    for (const cell of cells.slice(0, 20))
      expect(cell.parts.reduce((sum, { weight }) => sum + weight, 0)).toBe(100)
    expect(cellWords(cells.at(-1)!)).toBe('a alone')
  })

  it('of more sources: the reference against each, and all at equal shares as delivered and as recorded', () => {
    const sources = [source('a'), source('b', 'inverted'), source('c'), source('d')]
    const choices = choicesOf({ reference: 'a', sources })
    expect(choices.grids.map(({ second }) => second)).toEqual(['b', 'c', 'd'])
    const [, together, apart] = choices.beside
    expect(together!.parts.map(({ polarity }) => polarity)).toEqual([
      'normal',
      'inverted',
      'normal',
      'normal',
    ])
    expect(apart!.parts.every(({ polarity }) => polarity === 'normal')).toBe(true)
    expect(cellsOf(choices)).toHaveLength(63)
  })

  it('leaves out what a recipe cannot say: a group left where it is and turned over', () => {
    const choices = choicesOf({ reference: 'a', sources: [source('a'), source('kick', 'normal', true)] })
    expect(choices.grids[0]!.columns).toHaveLength(3)
    expect(cellsOf(choices)).toHaveLength(16)
  })
})

const [, roomy] = inventedDesk.blends
const pair = (aligned: boolean, polarity: 'normal' | 'inverted'): Cell => ({
  aligned,
  parts: [
    { source: 'piezo', weight: 80, polarity: 'normal' },
    { source: 'room', weight: 20, polarity },
  ],
})

describe('a cell as a blend', () => {
  const gains = (cell: Cell) =>
    blendOfCell(roomy!, cell).strips.flatMap(({ leaves }) => leaves.map(({ gain }) => gain))
  const leaf = (name: string) => roomy!.strips.find(strip => strip.source === name)!.leaves[0]!

  it('weighs each source against its equal share, and turns it over against how it was recorded', () => {
    const turned = roomy!.strips.find(({ source: name }) => name === 'room')!.polarity
    const same = gains(pair(true, turned))
    expect(same).toHaveLength(2)
    expect(same[0]).toBeCloseTo(leaf('piezo').gain * 3 * 0.8, 12)
    expect(same[1]).toBeCloseTo(leaf('room').gain * 3 * 0.2, 12)
    const other = gains(pair(true, turned === 'normal' ? 'inverted' : 'normal'))
    expect(other[1]).toBeCloseTo(-same[1]!, 12)
  })

  it('as recorded lies where it was recorded, and the spectra are turned back by as much', () => {
    const [, room] = blendOfCell(roomy!, pair(false, 'inverted')).strips.flatMap(({ leaves }) => leaves)
    const before = leaf('room')
    expect(room!.atSamples).toBe(before.recordedAtSamples)
    expect(room!.gain).toBeCloseTo(-before.recordedGain * 3 * 0.2, 12)
    expect(before.laterSamples - room!.laterSamples).toBeCloseTo(
      before.atSamples - before.recordedAtSamples,
      9,
    )
  })
})

describe('a cell written down', () => {
  const lines = (cell: Cell) =>
    (
      parse(
        writtenCell({
          recipeFile: 'recipe.yaml',
          song: 'Lantern Street',
          group: 'upright-bass',
          name: 'explored',
          equal: roomy!,
          cell,
        }),
      ) as { groups: Record<string, unknown> }
    ).groups['upright-bass']
  const parts = { piezo: 80, room: 20 }

  it('lined up as delivered needs its parts alone, turned over its polarity too', () => {
    const delivered = roomy!.strips.find(({ source: name }) => name === 'room')!.polarity
    const other = delivered === 'normal' ? 'inverted' : 'normal'
    expect(lines(pair(true, delivered))).toEqual({ blends: { explored: { parts } } })
    expect(lines(pair(true, other))).toEqual({
      sources: { room: { polarity: other === 'normal' ? 'as-recorded' : 'inverted' } },
      blends: { explored: { parts } },
    })
  })

  it('as recorded says so once; with a source turned over, source by source', () => {
    expect(lines(pair(false, 'normal'))).toEqual({ blends: { explored: { parts, aligned: false } } })
    const { nudgeSamples } = roomy!.strips.find(({ source: name }) => name === 'room')!
    expect(lines(pair(false, 'inverted'))).toEqual({
      sources: {
        room: {
          lag: 'as-recorded',
          ...(nudgeSamples === 0 ? {} : { nudge: '0 ms' }),
          polarity: 'inverted',
        },
      },
      blends: { explored: { parts } },
    })
  })
})
