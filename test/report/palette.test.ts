import { describe, expect, it } from 'vitest'
import { INK } from '../../src/report/page/style/ink.js'

// Relative luminance and contrast ratio: WCAG 2.2, "relative luminance" and "contrast ratio" in its glossary.
const luminance = (hex: string): number => {
  const [r, g, b] = [1, 3, 5].map(i => {
    const value = Number.parseInt(hex.slice(i, i + 2), 16) / 255
    return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4
  })
  return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!
}

const contrast = (a: string, b: string): number => {
  const [high, low] = [luminance(a), luminance(b)].sort((x, y) => y - x)
  return (high! + 0.05) / (low! + 0.05)
}

const palettes = [...INK.matchAll(/:root \{(?: color-scheme: [a-z ]+;)? ([^}]*)\}/g)].map(
  ([, body]) => new Map([...body!.matchAll(/--([a-z-]+): (#[0-9a-f]{6})/g)].map(m => [m[1]!, m[2]!])),
)

describe.each([
  ['light', palettes[0]!],
  ['dark', palettes[1]!],
])('the %s palette', (_, colours) => {
  const of = (name: string): string => colours.get(name)!

  it('has every colour', () => {
    expect(palettes).toHaveLength(2)
    expect([...colours.keys()].sort()).toEqual([...palettes[0]!.keys()].sort())
    expect(colours.size).toBe(11)
  })

  // 4.5 for text, 3 for what is drawn: WCAG 2.2, 1.4.3 and 1.4.11.
  it.each(['ink', 'quiet', 'note', 'before', 'after'])(
    '%s can be read on paper and on raised paper',
    name => {
      expect(contrast(of(name), of('paper'))).toBeGreaterThanOrEqual(4.5)
      expect(contrast(of(name), of('raised'))).toBeGreaterThanOrEqual(4.5)
    },
  )

  it('the outline of a wave stands out from the fill of its swing', () => {
    expect(contrast(of('before'), of('swing-before'))).toBeGreaterThanOrEqual(2)
    expect(contrast(of('after'), of('swing-after'))).toBeGreaterThanOrEqual(2)
  })
})
