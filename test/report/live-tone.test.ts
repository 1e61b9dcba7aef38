import { rmSync } from 'node:fs'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { deskSpectra } from '../../src/report/desk/desk-spectra.js'
import { type LiveTone, liveTone } from '../../src/report/desk/live-tone.js'
import { type OpenedSpectra, openedSpectra } from '../../src/report/desk/opened-spectra.js'
import { inProcess } from '../../src/terms/task.js'
import { deliveredLater } from '../../src/tone/blend-tone.js'
import { toneTasks } from '../../src/tone/tasks.js'
import type { BlendTone } from '../../src/tone/tone.js'
import { type GroupLook, toneOfPlan } from '../../src/tone/tone-of-plan.js'
import { plannedBlend, plannedSources, planOf, temporaryFolder } from '../tone/setting/plans.js'
import * as sounds from '../tone/setting/sounds.js'

/**
 * The curve under the faders against the renderer's own prediction of the same blend, at every point, in notches too: up to 24 dB, which is as deep
 * as the chart goes. Seen: 0.03 dB at ±5 ms, 0.002 dB at ±0.4 ms.
 */
const AGREES_DB = 0.05
const DEEPEST_DB = 24

const RATE = 48000

/** A plucked bass with some breath, through three paths of their own colour. */
const takes = (): readonly Float64Array[] => {
  const played = sounds.silence(9 * RATE)
  const midis = [28, 33, 35, 31, 40, 38, 36, 28, 43]
  midis.forEach((midi, i) => {
    sounds.addPluck(played, RATE, {
      hz: 440 * 2 ** ((midi - 69) / 12),
      at: 0.1 + 0.9 * i,
      seconds: 0.85,
      amplitude: 0.2,
      partials: 40,
    })
  })
  sounds.whiteNoise(played.length, 'breath', 0.004).forEach((x, n) => {
    played[n] = played[n]! + x
  })
  const own = (seed: string): Float64Array => sounds.whiteNoise(played.length, seed, 0.0005)
  const add = (a: Float64Array, b: Float64Array): Float64Array => a.map((x, n) => x + b[n]!)
  return [
    add(played, own('a')),
    add(sounds.onePole(played, RATE, 3000), own('b')),
    add(
      sounds.reflected(played, [
        { frames: 0, gain: 0.6 },
        { frames: 211, gain: 0.3 },
        { frames: 733, gain: -0.2 },
      ]),
      own('c'),
    ),
  ].map(sound => sounds.eased(sound, RATE))
}

interface Case {
  readonly predicted: BlendTone
  readonly live: LiveTone
}

describe('the tone under the faders', () => {
  let folder = ''
  let spectra: OpenedSpectra | null = null
  let compare: (laterMs: readonly number[], gains: readonly number[]) => Promise<Case>
  beforeAll(() => {
    folder = temporaryFolder()
    const [direct, near, far] = takes()
    const sources = plannedSources(folder, RATE, [
      { name: 'direct', sound: [direct!] },
      { name: 'near', sound: [near!], shift: -0.37 },
      { name: 'far', sound: [far!], shift: -0.81 },
    ])
    compare = async (laterMs, gains) => {
      const blend = plannedBlend(folder, sources, gains.map(Math.abs), { signs: gains.map(Math.sign) })
      const parts = blend.parts.map((part, p) => ({
        ...part,
        atSamples: part.atSamples + ((laterMs[p] ?? 0) * RATE) / 1000,
      }))
      let look: GroupLook | null = null
      const plan = planOf(folder, sources, [{ ...blend, parts }])
      const [predicted] = await toneOfPlan(plan, null, inProcess(toneTasks), seen => {
        look = seen
      })
      const { blends } = look!
      spectra ??= openedSpectra(deskSpectra(look!))
      const live = liveTone(
        spectra,
        blends[0]!.channels.map(channel =>
          channel.map(placed => ({
            signal: placed.signal,
            gain: placed.part.gain,
            laterSeconds: deliveredLater(placed) / RATE,
          })),
        ),
        RATE,
      )
      return { predicted: predicted!, live }
    }
  })
  afterAll(() => {
    rmSync(folder, { recursive: true, force: true })
  })

  it.each([
    [
      [0, 0, 0],
      [0.5, 0.4, 0.3],
    ],
    [
      [0, 0.37, 0],
      [0.5, 0.5, 0.2],
    ],
    [
      [0, -1.99, 0.5],
      [0.55, -0.45, 0.3],
    ],
    [
      [0, 5, -5],
      [0.5, 0.4, 0.3],
    ],
    [
      [0, -5, 2.51],
      [0.5, -0.5, -0.5],
    ],
  ])('later by %j ms with gains %j: as the renderer predicts it', async (laterMs, gains) => {
    const { predicted, live } = await compare(laterMs, gains)
    const known = new Map(predicted.frequenciesHz.map((hz, i) => [hz, predicted.after.lossDb[i]!]))
    let compared = 0
    let worst = 0
    live.frequenciesHz.forEach((hz, i) => {
      const [theirs, ours] = [known.get(hz) ?? null, live.lossDb[i] ?? null]
      if (theirs === null || ours === null) return
      compared++
      worst = Math.max(worst, Math.abs(Math.min(DEEPEST_DB, theirs) - Math.min(DEEPEST_DB, ours)))
    })
    expect(compared).toBeGreaterThan(200)
    expect(worst).toBeLessThan(AGREES_DB)
    expect(live.evennessDb).toBeCloseTo(predicted.evennessAfterDb!, 1)
    if (predicted.firstNotchAfterHz === null) expect(live.firstNotchHz).toBeNull()
    else expect(live.firstNotchHz! / predicted.firstNotchAfterHz).toBeCloseTo(1, 2)
  })
})
