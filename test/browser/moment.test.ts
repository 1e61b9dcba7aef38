import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { RenderedSong } from '../../src/jobs/song/render-song.js'
import { closeUpAt, reachOf } from '../../src/report/close-up/moment.js'
import { keptSounds } from '../../src/report/listen/kept-sounds.js'
import { unpack } from '../../src/report/listen/packing.js'
import { unpackWhole } from '../../src/report/listen/residuals.js'
import { coarseView } from '../../src/report/waveform/coarse-view.js'
import { notesThatLostMost, passageOf } from '../../src/report/words/lost-notes.js'
import { makeSong, type Song } from '../end-to-end/setting/song.js'
import { browserMissing, launch, openFromDisk } from './browser.js'
import { rendered } from './heard-song.js'

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

let song: Song
let made: RenderedSong
beforeAll(async () => {
  song = makeSong(5)
  song.write('seen.yaml', `${song.recipeText}report: { listen: 0:01-0:04 }\n`)
  made = await rendered(`${song.folder}/seen.yaml`, true)
})
afterAll(() => {
  song.remove()
})

it('a close-up made from the sound in the page is the one that was made from the recordings', () => {
  const group = made.report.groups[0]!
  const bytes = keptSounds(made.written.page, made.report)!
  const soundOf = (source: string) => {
    const held = group.listen!.sounds.find(sound => sound.source === source)!
    const channels = unpack(bytes.get(held.id)!, held.coding, held.channels)
    return { startFrame: held.startFrame, channels }
  }
  const closeUp = group.closeUp!
  const reach = reachOf(group, closeUp)!
  const within = [closeUp, ...closeUp.elsewhere].filter(
    ({ attackSeconds }) => attackSeconds >= reach.from && attackSeconds <= reach.to,
  )
  expect(within.length).toBeGreaterThan(1)
  let compared = 0
  for (const stored of within) {
    // The stored one has values in steps of 1e-4 at the most; the same filter made both.
    const again = closeUpAt(group, { ...stored, elsewhere: [] }, soundOf, stored.attackSeconds)!
    expect(again.traces.map(({ source }) => source)).toEqual(stored.traces.map(({ source }) => source))
    stored.traces.forEach((trace, t) => {
      for (const side of ['before', 'after'] as const) {
        trace[side].forEach((value, i) => {
          expect(Math.abs(value - again.traces[t]![side][i]!)).toBeLessThan(1.2e-4)
          compared++
        })
      }
    })
  }
  expect(compared).toBeGreaterThan(2000)
})

it('the whole song, coarsely, shows what the passage shows, a little rounder', () => {
  const group = made.report.groups[0]!
  const bytes = keptSounds(made.written.page, made.report)!
  const waveform = group.waveform!
  const soundOf = (source: string) => {
    const held = group.listen!.sounds.find(sound => sound.source === source)!
    const channels = unpack(bytes.get(held.id)!, held.coding, held.channels)
    return { startFrame: held.startFrame, channels }
  }
  const valuesOf = (id: string): Int32Array => {
    const { values } = waveform.sources.find(source => source.id === id)!
    return unpackWhole(bytes.get(id)!, 0, values).values
  }
  let compared = 0
  for (const at of [1.62, 2.117, 3.301]) {
    const fine = closeUpAt(group, group.closeUp!, soundOf, at)!
    const rough = coarseView(group, group.closeUp!, waveform, valuesOf, at)
    rough.traces.forEach((trace, t) => {
      for (const side of ['before', 'after'] as const) {
        const exact = fine.traces[t]![side]
        let both = 0
        let own = 0
        let other = 0
        trace[side].forEach((value, i) => {
          const place = exact[Math.round((i * rough.stepMs) / fine.stepMs)] ?? 0
          both += value * place
          own += value * value
          other += place * place
        })
        expect(both / Math.sqrt(own * other)).toBeGreaterThan(0.95)
        compared++
      }
    })
  }
  expect(compared).toBe(3 * 2 * group.sources.length)
})

describe.skipIf(browserMissing !== null)('other moments in a real browser', () => {
  let running: Browser
  beforeAll(async () => {
    running = await launch()
  })
  afterAll(() => running.close())

  it('by the keyboard alone the close-up goes through the song; a note is heard at a press', async () => {
    const { page, misdeeds, close } = await openFromDisk(running, made.written.page, {
      width: 1280,
      height: 900,
    })
    const moment = page.locator('.moment').first()
    const told = (): Promise<string | null> => moment.locator('[data-tell=moment]').textContent()
    const drawn = (): Promise<string> =>
      page.evaluate(`document.querySelector('#close-up-0 .at-wide .wave').getAttribute('d')`)
    const [first, wave] = [await told(), await drawn()]
    expect(first).toMatch(/^0:0\d\.\d{3}, attack \d+ of \d+ that are kept$/)
    await moment.locator('[data-set=moment]').fill('2.345')
    await expect.poll(told).toBe('0:02.345, from the sound in this page')
    expect(await drawn()).not.toBe(wave)
    await moment.locator('[data-set=moment]').focus()
    await page.keyboard.press('ArrowRight')
    await expect.poll(told).toBe('0:02.346, from the sound in this page')
    await moment.locator('[data-do=later]').focus()
    await page.keyboard.press('Enter')
    await expect.poll(told).toMatch(/attack \d+ of/)

    // Outside the passage it is the whole song, coarsely; and the strip of it leads anywhere.
    await moment.locator('[data-set=moment]').fill('0.4')
    await expect
      .poll(told)
      .toMatch(/^0:00\.400, from the whole song at 8000 values a second: only what sounds below 3/)
    expect(await page.textContent('#close-up-0 [data-tell=line]')).toBe('that moment')
    const strip = (await moment.locator('[data-tell=strip]').boundingBox())!
    await page.mouse.move(strip.x + 10, strip.y + 9)
    await page.mouse.down()
    await page.mouse.move(strip.x + 0.93 * strip.width, strip.y + 9, { steps: 3 })
    await page.mouse.up()
    const { seconds } = made.report.groups[0]!.waveform!
    await expect.poll(told).toContain('from the whole song')
    const reached = Number(await moment.locator('[data-set=moment]').inputValue())
    expect(Math.abs(reached - 0.93 * seconds)).toBeLessThan(0.01 * seconds)

    // The drawing follows the hand: 100 px to the left is later by what they stand for.
    await moment.locator('[data-set=moment]').fill('2.345')
    await expect.poll(told).toContain('0:02.345')
    const box = (await page.locator('#close-up-0 figure').boundingBox())!
    await page.mouse.move(box.x + 300, box.y + 60)
    await page.mouse.down()
    await page.mouse.move(box.x + 200, box.y + 60, { steps: 4 })
    await page.mouse.up()
    await expect.poll(told).toMatch(/^0:02\.3(4[6-9]|5\d), from the sound/)

    const group = made.report.groups[0]!
    const passage = passageOf(group)!
    const notes = group.blends.flatMap(({ tone }) =>
      tone === null ? [] : notesThatLostMost(tone, passage).map(({ atSeconds }) => atSeconds),
    )
    const held = notes.filter(at => at !== null && at >= passage.startSeconds && at <= passage.endSeconds)
    const buttons = page.locator('#group-0 .note-button')
    expect(await buttons.count()).toBe(held.length)
    if (held.length > 0) {
      await buttons.first().focus()
      await page.keyboard.press('Enter')
      const desk = page.locator('.desk').first()
      await expect.poll(() => desk.locator('[data-tell=muted]').textContent()).toContain('switched off')
      await desk.locator('[data-set=sound]').check()
      expect(await desk.locator('[data-tell=muted]').textContent()).toBe('')
    }
    expect(misdeeds).toEqual({ messages: [], requests: [], violations: [] })
    await close()
  })

  it('axe finds nothing on the whole page with everything in it', async () => {
    const { page, close } = await openFromDisk(running, made.written.page, { width: 1280, height: 900 })
    await page.evaluate(AXE)
    const { violations } = await page.evaluate<{ violations: { id: string; nodes: { html: string }[] }[] }>(
      'axe.run()',
    )
    expect(violations.map(v => `${v.id}: ${v.nodes[0]?.html ?? ''}`)).toEqual([])
    await close()
  })
})
