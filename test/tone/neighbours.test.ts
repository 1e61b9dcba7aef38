import fs from 'node:fs'
import { afterAll, expect, test } from 'vitest'
import type { Plan } from '../../src/decide/plan.js'
import { renderPlan } from '../../src/render/render-plan.js'
import { renderTasks } from '../../src/render/tasks.js'
import { seededRandom } from '../../src/signal/random.js'
import { thirdOctaves } from '../../src/signal/third-octave.js'
import { inProcess } from '../../src/terms/task.js'
import { neighbourWarnings } from '../../src/tone/neighbours/neighbour-warnings.js'
import type { Neighbours } from '../../src/tone/neighbours/neighbours.js'
import { neighboursOfPlan } from '../../src/tone/neighbours/neighbours-of-plan.js'
import { voicesOf } from '../../src/tone/neighbours/voices.js'
import { toneTasks } from '../../src/tone/tasks.js'
import { plannedBlend, plannedSources, planOf, type SourceOf, temporaryFolder } from './setting/plans.js'
import * as sounds from './setting/sounds.js'

/**
 * Two groups, the drum in the one bleeding into the room microphone of the other. True values: for a sound of density N in one group and
 * b N in the other, later by t, the sum has N (1 + b^2 + 2 b cos 2 pi f t); a group that is pulled forward by T turns that to cos 2 pi f (t - T).
 */
const RATE = 8000
const FRAMES = 24 * RATE

const folders: string[] = []
afterAll(() => {
  for (const made of folders) fs.rmSync(made, { recursive: true, force: true })
})

/** One blend a group, each at unity gain. */
const planFor = (groups: Readonly<Record<string, readonly SourceOf[]>>, tempoBpm: number | null): Plan => {
  const folder = temporaryFolder()
  folders.push(folder)
  const made = Object.entries(groups).map(([group, sources]) => {
    const own = plannedSources(folder, RATE, sources).map(source => ({
      ...source,
      key: `${group}/${source.source}`,
      group,
    }))
    const gains = own.map(() => 1)
    return { own, stem: plannedBlend(folder, own, gains, { name: group, group }) }
  })
  const plan = planOf(
    folder,
    made.flatMap(({ own }) => own),
    made.map(({ stem }) => stem),
  )
  const named = Object.keys(groups).map(name => ({ name }) as Plan['groups'][number])
  return { ...plan, tempoBpm, groups: named }
}

const heard = async (plan: Plan, beatsInBar = 4): Promise<Neighbours> => {
  const rendered = await renderPlan(plan, inProcess(renderTasks))
  const found = await neighboursOfPlan(plan, rendered, inProcess(toneTasks), beatsInBar)
  expect(found).not.toBeNull()
  return found!
}

const PULL = 0.005 * RATE
const B = 0.5

/** What is lost in a band where the bleed arrived together with the sound itself and was pulled forward by 5 ms. */
const trueLossDb = (lowHz: number, highHz: number): number => {
  let left = 0
  const steps = 400
  for (let i = 0; i < steps; i++) {
    const hz = lowHz + ((i + 0.5) / steps) * (highHz - lowHz)
    left += (1 + B * B + 2 * B * Math.cos(2 * Math.PI * hz * (PULL / RATE))) / steps
  }
  return 10 * Math.log10((1 + B) ** 2 / left)
}

const drum = sounds.eased(sounds.whiteNoise(FRAMES, 'drum'), RATE)

test('bleed that no longer meets costs what the comb says, band by band', async () => {
  const found = await heard(
    planFor(
      {
        bass: [{ name: 'room', sound: [drum.map(x => B * x)], shift: -PULL }],
        drum: [{ name: 'top', sound: [drum] }],
      },
      null,
    ),
  )
  let compared = 0
  thirdOctaves(RATE).forEach(({ midHz, lowHz, highHz }, band) => {
    // Lower bands hold few bins of the window; the true value is of sharp edges.
    if (midHz < 60) return
    compared++
    const { centreHz, lossDb } = found.thirdOctaves[band]!
    expect(centreHz).toBe(midHz)
    expect(Math.abs(lossDb! - trueLossDb(lowHz, highHz)), `${Math.round(midHz)} Hz`).toBeLessThan(0.35)
  })
  expect(compared).toBeGreaterThan(15)
  const [worst] = found.losses
  expect(worst?.groups).toEqual(['bass', 'drum'])
  expect(worst?.centreHz).toBeCloseTo(100, 0)
  expect(worst?.lossDb).toBeGreaterThan(7)
  expect([worst?.fromSeconds, worst?.toSeconds, worst?.fromBar]).toEqual([0, 24, null])
  const [warning] = neighbourWarnings(found)
  expect(warning).toMatchObject({ code: 'NEIGHBOUR_LOSS', group: 'bass' })
  expect(warning?.message).toMatch(/^Together with drum it loses 9\.\d dB around 100 Hz at 0:00–0:24/)
})

test('bars tell where, and a bass that is much louder than what bleeds loses nothing to speak of', async () => {
  const solo = drum.map((x, n) => (n < FRAMES / 2 ? 0 : B * x))
  const bass = sounds.eased(sounds.whiteNoise(FRAMES, 'bass', 0.002), RATE)
  const plan = planFor(
    {
      bass: [
        { name: 'piezo', sound: [bass] },
        { name: 'room', sound: [solo], shift: -PULL },
      ],
      drum: [{ name: 'top', sound: [drum] }],
    },
    120,
  )
  const found = await heard(plan)
  const worst = found.losses.find(({ centreHz }) => Math.round(centreHz) === 100)
  // A bar has 2 s, a piece four of them: the bleed begins at 12 s, in the middle of the second piece.
  expect([worst?.fromBar, worst?.toBar, worst?.fromSeconds, worst?.toSeconds]).toEqual([5, 12, 8, 24])
  // In three a bar has 1.5 s, a piece again four of them: the third piece begins with the bleed.
  const inThree = (await heard(plan, 3)).losses.find(({ centreHz }) => Math.round(centreHz) === 100)
  expect([inThree?.fromBar, inThree?.toBar, inThree?.fromSeconds, inThree?.toSeconds]).toEqual([
    9, 16, 12, 24,
  ])
  const loud = await heard(
    planFor(
      {
        bass: [{ name: 'room', sound: [drum.map((x, n) => B * 0.01 * x + bass[n]! * 100)], shift: -PULL }],
        drum: [{ name: 'top', sound: [drum] }],
      },
      120,
    ),
  )
  expect(loud.losses).toEqual([])
  expect(neighbourWarnings(loud)).toEqual([])
})

test('two who play the same notes and share no sound are not told of', async () => {
  const line = (seed: number): Float64Array => {
    const late = seededRandom(`player ${seed}`)
    const sound = sounds.silence(FRAMES)
    for (let at = 0.1; at < 23; at += 0.75) {
      const hz = sounds.noteHz([40, 43, 45, 47][Math.floor(at / 0.75) % 4]!)
      sounds.addPluck(sound, RATE, { hz, at: at + 0.04 * late(), seconds: 0.7, amplitude: 0.2 })
    }
    return sound
  }
  const found = await heard(
    planFor(
      {
        bass: [{ name: 'bridge', sound: [line(1)], shift: -PULL }],
        guitar: [{ name: 'pickup', sound: [line(4)] }],
      },
      92,
    ),
  )
  expect(found.thirdOctaves.filter(({ lossDb }) => Math.abs(lossDb ?? 0) > 0.2).length).toBeGreaterThan(0)
  expect(found.losses).toEqual([])
})

test('every group counts once, by its first lined-up blend, and a group inside another not at all', () => {
  const plan = planFor(
    { kick: [{ name: 'in', sound: [drum] }], kit: [{ name: 'over', sound: [drum] }] },
    null,
  )
  const [kick, kit] = plan.stems as [Plan['stems'][number], Plan['stems'][number]]
  const both = { ...kit, parts: [...kick.parts, ...kit.parts] }
  expect(voicesOf({ ...plan, stems: [kick, both] }).voices).toEqual([])
  const raw = { ...kick, name: 'raw', aligned: false }
  expect(
    voicesOf({ ...plan, stems: [raw, kick, kit] }).voices.map(({ stems }) => stems.map(s => s.name)),
  ).toEqual([['kick'], ['kit']])
  expect(voicesOf({ ...plan, groups: plan.groups.slice(0, 1), stems: [kick] }).voices).toEqual([])
})

test('groups of another rate than most are left out by name', () => {
  const sound = [drum]
  const plan = planFor(
    { flute: [{ name: 'a', sound }], kick: [{ name: 'b', sound }], kit: [{ name: 'c', sound }] },
    null,
  )
  const [flute, kick, kit] = plan.stems as [
    Plan['stems'][number],
    Plan['stems'][number],
    Plan['stems'][number],
  ]
  const other = { ...flute, sampleRateHz: 2 * RATE }
  const { voices, otherRates } = voicesOf({ ...plan, stems: [other, kick, kit] })
  expect(voices.map(({ group }) => group)).toEqual(['kick', 'kit'])
  expect(otherRates).toEqual(['flute'])
  expect(voicesOf(plan).otherRates).toEqual([])
  // Of as many the first: nothing is left to compare with it.
  expect(voicesOf({ ...plan, stems: [other, kick] })).toEqual({ voices: [], otherRates: ['kick'] })
})
