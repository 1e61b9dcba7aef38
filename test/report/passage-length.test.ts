import { describe, expect, it } from 'vitest'
import type { Plan } from '../../src/decide/plan.js'
import { BYTES_OF, codingFor } from '../../src/report/listen/packing.js'
import { passageInput, passageSeconds } from '../../src/report/listen/passages-of.js'
import { lanternStreet } from './fixture.js'

const { session, plan } = lanternStreet

/** The song with all its recordings of another kind. */
const ofKind = (
  facts: { readonly bitDepth: number; readonly sampleRateHz: number },
  channels: number,
): Plan => ({
  ...plan,
  sources: plan.sources.map(source => ({ ...source, channels, facts: { ...source.facts, ...facts } })),
})

/** What a page would hold of a plan as text, bytes: four characters for three bytes. */
const textBytes = (of: Plan, seconds: number): number =>
  of.sources.reduce(
    (sum, { facts, channels }) =>
      sum + (4 / 3) * seconds * facts.sampleRateHz * channels * BYTES_OF[codingFor(facts.bitDepth, 'int')],
    0,
  )

describe('how long the passages are', () => {
  it.each([
    [16, 44100, 1, 20],
    [24, 48000, 1, 14.5],
    [24, 96000, 1, 7.2],
    [24, 48000, 2, 7.2],
  ])(
    'seven sources of %i bit at %i Hz with %i channels: %f s, and the page stays small',
    (bitDepth, sampleRateHz, channels, seconds) => {
      const kind = ofKind({ bitDepth, sampleRateHz }, channels)
      expect(kind.sources).toHaveLength(7)
      expect(passageSeconds(session, kind)).toBe(seconds)
      expect(textBytes(kind, seconds)).toBeLessThanOrEqual(19.6e6)
    },
  )

  it('eight of 24 bit at 48 kHz stay under 25 MB with everything else that a page holds', () => {
    const one = plan.sources[0]!
    const eight: Plan = { ...plan, sources: [...plan.sources, one] }
    const seconds = passageSeconds(session, eight)
    expect(seconds).toBe(12.7)
    expect(textBytes(eight, seconds)).toBeLessThanOrEqual(19.6e6)
  })

  it('never longer than the recipe wishes, and from where it says', () => {
    const wished = {
      ...session,
      deliver: { ...session.deliver, report: { listen: { startSeconds: 3, endSeconds: 7 }, dated: false } },
    }
    const input = passageInput(wished, plan, wished.groups[0]!)!
    expect(input.frames).toBe(4 * 48000)
    expect(input.given).toEqual({ startFrame: 3 * 48000 })
    expect(passageInput(session, plan, session.groups[0]!)!.given).toBeNull()
  })
})
