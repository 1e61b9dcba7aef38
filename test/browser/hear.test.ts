import { readFileSync, statSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { pageScript } from '../../scripts/bundle-page.js'
import type { RenderedSong } from '../../src/jobs/song/render-song.js'
import { PAGE_SCRIPT } from '../../src/report/generated/page-script.js'
import { openWave } from '../../src/wave/wave-file.js'
import { makeSong, type Song } from '../end-to-end/setting/song.js'
import { browserMissing, launch, openFromDisk } from './browser.js'
import { aheadFrames, playDesk } from './desk-kit.js'
import { rendered } from './heard-song.js'

const RATE = 48000
const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
const REST = { gainDb: 0, turned: false, laterMs: 0, off: false }

/** A stretch of a delivered stem. */
const stemSamples = (file: string, startFrame: number, frames: number): Float64Array => {
  const wave = openWave(file)
  const block = Array.from({ length: wave.facts.channels }, () => new Float64Array(frames))
  wave.read(startFrame, block)
  wave.close()
  return block[0]!
}

/** How far b is from a, dB under a. */
const nullDb = (a: ArrayLike<number>, b: ArrayLike<number>, gain = 1): number => {
  let wanted = 0
  let left = 0
  for (let i = 0; i < a.length; i++) {
    const off = a[i]! - gain * b[i]!
    wanted += a[i]! * a[i]!
    left += off * off
  }
  expect(wanted).toBeGreaterThan(0)
  return 10 * Math.log10(left / wanted)
}

const stemOf = (song: RenderedSong, name: string) => song.rendered.find(stem => stem.name === name)!.file

it('the script in the page is that of the sources', async () => {
  expect(PAGE_SCRIPT).toBe(await pageScript())
})

describe.skipIf(browserMissing !== null)('hearing in a real browser', () => {
  let running: Browser
  let song: Song
  let made: RenderedSong
  let startFrame = 0
  beforeAll(async () => {
    song = makeSong(5)
    song.write('heard.yaml', `${song.recipeText}report: { listen: 0:01-0:04 }\n`)
    made = await rendered(`${song.folder}/heard.yaml`, true)
    startFrame = made.report.groups[0]!.listen!.startFrame
    running = await launch()
  })
  afterAll(async () => {
    await running.close()
    song.remove()
  })

  const open = async (): Promise<{ page: Page; close: () => Promise<void>; misdeeds: object }> =>
    openFromDisk(running, made.written.page, { width: 1280, height: 900 })

  it('plays what was delivered: the blend made in the page nulls against the stem, and so does your own at rest', async () => {
    const { page, close } = await open()
    const run = { group: 0, blend: 1, faders: [REST, REST, REST], matched: false, seconds: 2 }
    const from = aheadFrames(RATE)
    const delivered = await playDesk(page, { ...run, acts: [] })
    const stem = stemSamples(stemOf(made, 'all'), startFrame, 2 * RATE)
    const after = 0.02 * RATE
    const heard = delivered.sound.subarray(from + after)
    expect(nullDb(stem.subarray(after, after + heard.length), heard)).toBeLessThan(-110)
    // Yours, at rest, is the same.
    const yours = await playDesk(page, { ...run, acts: [{ at: 0, call: 'hear', args: ['yours'] }] })
    expect(nullDb(heard, yours.sound.subarray(from + after))).toBeLessThan(-140)
    await close()
  })

  it('goes from one take to another at the same sample, in 5 ms, with nothing between them', async () => {
    const { page, close } = await open()
    const run = { group: 0, blend: 0, faders: [REST, REST], matched: false, seconds: 2 }
    const [recorded, delivered] = await Promise.all(
      ['recorded', 'delivered'].map(take =>
        playDesk(page, { ...run, acts: [{ at: 0, call: 'hear', args: [take] }] }),
      ),
    )
    const switched = await playDesk(page, {
      ...run,
      acts: [
        { at: 0, call: 'hear', args: ['delivered'] },
        { at: 0.8, call: 'hear', args: ['recorded'] },
        { at: 1.4, call: 'hear', args: ['delivered'] },
      ],
    })
    expect(switched.log).toHaveLength(2)
    const begin = switched.log.map(time => Math.ceil((time + 0.012) * RATE))
    const crossing = 0.005 * RATE
    let different = 0
    let worst = 0
    for (let n = 2000; n < 2 * RATE; n++) {
      const up = Math.min(1, Math.max(0, (n - begin[0]!) / crossing))
      const down = Math.min(1, Math.max(0, (n - begin[1]!) / crossing))
      const share = up - down
      const wanted = share * recorded!.sound[n]! + (1 - share) * delivered!.sound[n]!
      if (Math.abs(recorded!.sound[n]! - delivered!.sound[n]!) > 1e-3) different++
      worst = Math.max(worst, Math.abs(wanted - switched.sound[n]!))
    }
    expect(different).toBeGreaterThan(RATE / 2)
    expect(worst).toBeLessThan(1e-6)
    await close()
  })

  it('loops a region and goes to a place, in step', async () => {
    const { page, close } = await open()
    const run = { group: 0, blend: 0, faders: [REST, REST], matched: false }
    const whole = await playDesk(page, { ...run, seconds: 2.5, acts: [] })
    const from = aheadFrames(RATE)
    const region = { from: 12000, to: 36000 }
    const looped = await playDesk(page, {
      ...run,
      seconds: 2.5,
      acts: [{ at: 0, call: 'loop', args: [region] }],
    })
    // Before the loop was asked for nothing was heard: it begins with its first frame.
    const seam = 0.005 * RATE
    for (const round of [0, 1, 2]) {
      const begin = from + round * 24000 + (round === 0 ? 1000 : 0)
      const length = 24000 - seam - (round === 0 ? 1000 : 0)
      const first = from + region.from + (round === 0 ? 1000 : 0)
      expect(
        nullDb(whole.sound.subarray(first, first + length), looped.sound.subarray(begin, begin + length)),
      ).toBeLessThan(-120)
    }
    const gone = await playDesk(page, { ...run, seconds: 1, acts: [{ at: 0.5, call: 'go', args: [48000] }] })
    const begin = Math.ceil((gone.log[0]! + 0.012) * RATE)
    const length = RATE - begin - 1000
    const due = 48000
    expect(
      nullDb(
        whole.sound.subarray(from + due + 500, from + due + 500 + length),
        gone.sound.subarray(begin + 500, begin + 500 + length),
      ),
    ).toBeLessThan(-120)
    await close()
  })

  it('begins silent and low, matches loudness and says by how much', async () => {
    const { page, misdeeds, close } = await open()
    const desk = page.locator('.desk').first()
    expect(await desk.locator('[data-set=sound]').isChecked()).toBe(false)
    expect(await desk.locator('[data-set=level]').inputValue()).toBe('-20')
    expect(await desk.locator('.caution').textContent()).toContain('Start low')
    await desk.locator('[data-do=play]').click()
    await expect
      .poll(() => desk.locator('[data-tell=match]').textContent())
      .toMatch(/as recorded .*lined up −\d.*dB/)
    const place = await desk.locator('[data-tell=place]').textContent()
    await expect.poll(() => desk.locator('[data-tell=place]').textContent()).not.toBe(place)
    await desk.locator('[data-set=match]').uncheck()
    expect(await desk.locator('[data-tell=match]').textContent()).toBe('each as loud as it is')
    // A second desk takes over from the first.
    await page.locator('.desk').nth(1).locator('[data-do=play]').click()
    expect(await desk.locator('[data-do=play]').textContent()).toBe('Play')
    expect(misdeeds).toEqual({ messages: [], requests: [], violations: [] })
    const run = { group: 0, blend: 0, faders: [REST, REST], seconds: 1.5, acts: [] }
    const [asIs, matched] = [
      await playDesk(page, { ...run, matched: false }),
      await playDesk(page, { ...run, matched: true }),
    ]
    const gain = 10 ** ((matched.matchDb.get('delivered') ?? 0) / 20)
    expect(gain).toBeLessThan(0.99)
    expect(nullDb(matched.sound.subarray(2000), asIs.sound.subarray(2000), gain)).toBeLessThan(-100)
    await close()
  })

  it('by the keyboard alone: the curve follows the faders, and what is written down renders to what was heard', async () => {
    const { page, misdeeds, close } = await open()
    const desk = page.locator('.desk').nth(1)
    const press = async (selector: string, keys: readonly string[]): Promise<void> => {
      await desk.locator(selector).focus()
      for (const key of keys) await page.keyboard.press(key)
    }
    await press('.faders > summary', ['Enter'])
    const curve = (): Promise<string> =>
      page.evaluate(`document.querySelectorAll('.desk')[1].querySelector('path.yours').getAttribute('d')`)
    await expect.poll(curve).toMatch(/^M\d/)
    const before = await curve()
    await press('[data-strip="1"] [data-fader=laterMs]', new Array<string>(37).fill('ArrowRight'))
    await press('[data-strip="1"] [data-fader=gainDb]', new Array<string>(15).fill('ArrowLeft'))
    await press('[data-strip="2"] [data-fader=turned]', ['Space'])
    await press('[data-strip="2"] [data-fader=gainDb]', new Array<string>(40).fill('ArrowRight'))
    await press('[data-strip="0"] [data-fader=gainDb]', ['ArrowLeft'])
    expect(await desk.locator('[data-strip="1"] [data-tell=laterMs]').textContent()).toBe(
      '+0.37 ms, +17.8 frames',
    )
    await expect.poll(curve).not.toBe(before)
    expect(await curve()).not.toContain('NaN')
    expect(await desk.locator('[data-tell=worst]').textContent()).toMatch(/dB at/)
    await press('[data-do=write]', ['Enter'])
    const yaml = await desk.locator('textarea').inputValue()
    expect(yaml).toContain('nudge: 0.37 ms')
    const faders = [
      { ...REST, gainDb: -0.1 },
      { ...REST, gainDb: -1.5, laterMs: 0.37 },
      { ...REST, gainDb: 4, turned: true },
    ]
    const heard = await playDesk(page, {
      group: 0,
      blend: 1,
      faders: [REST, REST, REST],
      matched: false,
      seconds: 3,
      acts: [
        { at: 0, call: 'hear', args: ['yours'] },
        { at: 0.25, call: 'try', args: [faders] },
      ],
    })
    expect(misdeeds).toEqual({ messages: [], requests: [], violations: [] })
    await close()

    song.write(
      'mine.yaml',
      `recipe: 1\nbase: heard.yaml\nsong: Short Song\n${yaml}deliver: { folder: mine }\n`,
    )
    const mine = await rendered(`${song.folder}/mine.yaml`, false)
    const from = aheadFrames(RATE)
    const first = 0.3 * RATE
    const sound = heard.sound.subarray(from + first)
    const stem = stemSamples(stemOf(mine, 'all'), startFrame + first, sound.length)
    // The louder blend may have been turned down further for the ceiling: told in the report, in steps of half a dB.
    const turned = made.report.delivery.turnDownDb - mine.report.delivery.turnDownDb
    expect(nullDb(stem, sound, 10 ** (turned / 20))).toBeLessThan(-60)
    expect(nullDb(stem, stemSamples(stemOf(made, 'all'), startFrame + first, sound.length))).toBeGreaterThan(
      -30,
    )
  })

  it('a blind test of twelve turns, by the keyboard, with an honest end', async () => {
    const { page, misdeeds, close } = await open()
    const desk = page.locator('.desk').first()
    const enter = async (what: string): Promise<void> => {
      await desk.locator(`[data-do=${what}]`).focus()
      await page.keyboard.press('Enter')
    }
    await desk.locator('.blind > summary').focus()
    await page.keyboard.press('Enter')
    await enter('blind')
    expect(await desk.locator('[name^=hear]').first().isDisabled()).toBe(true)
    expect(await desk.locator('[data-tell=match]').textContent()).toBe('')
    for (let turn = 1; turn <= 12; turn++) {
      expect(await desk.locator('[data-tell=turn]').textContent()).toContain(`Turn ${turn} of 12`)
      await enter('hearB')
      expect(await desk.locator('[data-do=hearB]').getAttribute('aria-pressed')).toBe('true')
      await enter(turn % 2 === 0 ? 'takeA' : 'takeB')
    }
    expect(await desk.locator('[data-tell=result]').textContent()).toMatch(
      /^\d+ of 12 right\. By guessing alone/,
    )
    expect(await desk.locator('[name^=hear]').first().isDisabled()).toBe(false)
    expect(misdeeds).toEqual({ messages: [], requests: [], violations: [] })
    await close()
  })

  it.each(['light', 'dark'] as const)('axe finds nothing on an open desk in %s', async scheme => {
    const { page, close } = await openFromDisk(running, made.written.page, {
      width: 1280,
      height: 900,
      scheme,
    })
    await page.evaluate(`for (const details of document.querySelectorAll('details')) details.open = true`)
    await page.locator('.desk').first().locator('[data-do=write]').click()
    await page.evaluate(AXE)
    const { violations } = await page.evaluate<{ violations: { id: string; nodes: { html: string }[] }[] }>(
      "axe.run('.desk')",
    )
    expect(violations.map(v => `${v.id}: ${v.nodes[0]?.html ?? ''}`)).toEqual([])
    await close()
  })

  it('without sound the faders still move the curve; without script nothing is missing but the desk', async () => {
    const silent = await rendered(`${song.folder}/heard.yaml`, false)
    expect(silent.report.groups.every(group => group.listen === null)).toBe(true)
    expect(statSync(silent.written.page).size).toBeLessThan(3e6)
    const { page, misdeeds, close } = await openFromDisk(running, silent.written.page, {
      width: 1280,
      height: 900,
    })
    const desk = page.locator('.desk').first()
    expect(await desk.locator('[data-do=play]').count()).toBe(0)
    expect(await desk.locator('.silent').isVisible()).toBe(true)
    await desk.locator('.faders > summary').click()
    await desk.locator('[data-fader=laterMs]').fill('2')
    await expect.poll(() => desk.locator('[data-tell=worst]').textContent()).toMatch(/dB at/)
    expect(misdeeds).toEqual({ messages: [], requests: [], violations: [] })
    await close()

    const context = await running.newContext({ javaScriptEnabled: false, offline: true })
    const still = await context.newPage()
    await still.goto(`file://${silent.written.page}`)
    expect(await still.locator('.desk').first().isVisible()).toBe(false)
    expect(await still.locator('noscript').first().isVisible()).toBe(true)
    expect(await still.locator('svg.chart').first().isVisible()).toBe(true)
    await context.close()
  })
})
