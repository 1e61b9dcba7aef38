import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'esbuild'
import { HtmlValidate } from 'html-validate'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { pageScript, withoutKernels } from '../../scripts/bundle-page.js'
import type { ExploredGroup } from '../../src/jobs/song/explore-group.js'
import { blendOfCell } from '../../src/report/explore/cell-blend.js'
import { cellsOf } from '../../src/report/explore/choices.js'
import { writeExploration } from '../../src/report/explore/write-exploration.js'
import { EXPLORE_SCRIPT } from '../../src/report/generated/explore-script.js'
import { unpack } from '../../src/report/listen/packing.js'
import { TakeMaker } from '../../src/report/listen/takes.js'
import { LoudnessMeter } from '../../src/signal/loudness.js'
import { openWave } from '../../src/wave/wave-file.js'
import { makeSong, type Song } from '../end-to-end/setting/song.js'
import { browserMissing, launch, openFromDisk } from './browser.js'
import { aheadFrames } from './desk-kit.js'
import { explored, rendered } from './heard-song.js'

const RATE = 48000
const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

let song: Song
let found: ExploredGroup
let page = ''
beforeAll(async () => {
  song = makeSong(5)
  found = await explored(song.recipe, 'bass')
  page = join(song.folder, 'explore-bass.html')
  writeExploration(page, found.exploration, found.sounds)
})
afterAll(() => {
  song.remove()
})

/** A cell as the page makes it, here. */
const takeOf = (number: number): Float64Array => {
  const { listen, equal, choices, sampleRateHz } = found.exploration
  const maker = new TakeMaker(listen, sampleRateHz, source => {
    const sound = listen.sounds.find(one => one.source === source)!
    return {
      startFrame: sound.startFrame,
      channels: unpack(found.sounds.get(sound.id)!, sound.coding, sound.channels),
    }
  })
  return maker.delivered(blendOfCell(equal, cellsOf(choices)[number]!))[0]!
}

/** What is left of `a` after the multiple of `b` that fits best is taken off, dB under `a`; and that multiple. */
const fitted = (
  a: ArrayLike<number>,
  b: ArrayLike<number>,
): { readonly leftDb: number; readonly by: number } => {
  let aa = 0
  let ab = 0
  let bb = 0
  for (let i = 0; i < a.length; i++) {
    aa += a[i]! * a[i]!
    ab += a[i]! * b[i]!
    bb += b[i]! * b[i]!
  }
  expect(aa).toBeGreaterThan(0)
  const by = ab / bb
  let left = 0
  for (let i = 0; i < a.length; i++) left += (a[i]! - by * b[i]!) ** 2
  return { leftDb: 10 * Math.log10(left / aa), by }
}

const lufsOf = (samples: Float64Array): number => {
  const meter = new LoudnessMeter(RATE, 1)
  meter.push([samples])
  return meter.integratedLufs()!
}

it('the script in the page is that of the sources', async () => {
  expect(EXPLORE_SCRIPT === (await pageScript('explore'))).toBe(true)
})

it('is valid HTML, and puts a hostile name in it as text', async () => {
  const hostile = { ...found.exploration, group: '</script><img src=x onerror=alert(1)>', song: '"><b>' }
  const file = join(song.folder, 'hostile.html')
  writeExploration(file, hostile, new Map())
  const validator = new HtmlValidate({
    extends: ['html-validate:recommended'],
    rules: {
      'doctype-style': 'off',
      'no-inline-style': 'off',
      'require-sri': 'off',
      'no-trailing-whitespace': 'off',
      'long-title': 'off',
    },
  })
  for (const path of [page, file]) {
    const text = readFileSync(path, 'utf8').replace(/(id="sound-[^>]*>)[^<]*/g, '$1')
    const { results } = await validator.validateString(text)
    expect(
      results.flatMap(({ messages }) => messages.map(m => `${m.line}: ${m.ruleId} ${m.message}`)),
    ).toEqual([])
    expect(text.includes('<img')).toBe(false)
  }
})

it('what was written down gives, rendered, what was heard', async () => {
  const { choices, written, listen } = found.exploration
  // The second row, 65 / 35, of piezo and room; the room is inverted as recorded.
  const [, row] = choices.grids[1]!.rows
  // Lined up and as it was recorded; as recorded; as recorded and turned over.
  const numbers = [0, 2, 3].map(column => cellsOf(choices).indexOf(row!.cells[column]!))
  song.write('bass.yaml', song.recipeText.replace(/ {2}snare:[^]*(?=deliver:)/, ''))
  for (const number of numbers) {
    const recipe = song.write(
      'chosen.yaml',
      `recipe: 1\nbase: bass.yaml\nsong: Chosen ${number}\n${written[number]!}deliver: { folder: chosen, stems: none }\n`,
    )
    const { rendered: stems } = await rendered(recipe, false)
    const wave = openWave(stems.find(({ name }) => name === 'explored')!.file)
    const block = new Float64Array(listen.frames)
    wave.read(listen.startFrame, [block])
    wave.close()
    // A stem is faded where a moved file ends; that lies outside.
    const inside = (samples: Float64Array) => samples.subarray(0.05 * RATE, -0.05 * RATE)
    const { leftDb, by } = fitted(inside(block), inside(takeOf(number)))
    expect(leftDb).toBeLessThan(-100)
    expect(by).toBeGreaterThan(0)
  }
})

const KIT = `
import { CellSounding } from './cell-sounding.ts'
globalThis.playCells = async (numbers, seconds) => {
  const about = JSON.parse(document.querySelector('#explorable').textContent)
  const context = new OfflineAudioContext(1, Math.round(seconds * about.sampleRateHz), about.sampleRateHz)
  const sounding = new CellSounding(context, about)
  for (const number of numbers) sounding.hear(number)
  sounding.player.loud(1)
  sounding.player.start()
  const out = await context.startRendering()
  return { sound: [...out.getChannelData(0)], matchDb: sounding.matchDb }
}
`

describe.skipIf(browserMissing !== null)('comparing in a real browser', () => {
  let running: Browser
  let kit = ''
  beforeAll(async () => {
    running = await launch()
    const resolveDir = fileURLToPath(new URL('../../src/report/browser', import.meta.url))
    const { outputFiles } = await build({
      stdin: { contents: KIT, resolveDir, loader: 'ts' },
      bundle: true,
      format: 'iife',
      write: false,
      plugins: [withoutKernels],
    })
    kit = outputFiles[0]!.text
  })
  afterAll(() => running.close())
  const play = async (page: Page, numbers: readonly number[]) =>
    page.evaluate<{ sound: number[]; matchDb: number }>(`playCells(${JSON.stringify(numbers)}, 1.5)`)

  it('a cell sounds as its blend, at the loudness of the reference less 6 dB, however many were heard before', async () => {
    const { page: open, close } = await openFromDisk(running, page, { width: 1200, height: 900 })
    await open.evaluate(kit)
    const reference = cellsOf(found.exploration.choices).indexOf(found.exploration.choices.beside[0]!)
    const target = lufsOf(takeOf(reference)) - 6
    const skip = aheadFrames(RATE) + 0.02 * RATE
    // Two cells at once, then one after more than are kept ready.
    for (const numbers of [[5], [reference], [2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 2]]) {
      const { sound, matchDb } = await play(open, numbers)
      const take = takeOf(numbers.at(-1)!)
      expect(matchDb).toBeCloseTo(target - lufsOf(take), 6)
      const heard = sound.slice(skip)
      const { leftDb, by } = fitted(heard, take.subarray(0.02 * RATE))
      expect(leftDb).toBeLessThan(-110)
      expect(20 * Math.log10(by)).toBeCloseTo(matchDb, 3)
    }
    await close()
  })

  it('is silent until asked, works by the keyboard, and writes down what was chosen', async () => {
    const { page: open, close, misdeeds } = await openFromDisk(running, page, { width: 1200, height: 900 })
    expect(await open.isChecked('[data-set=sound]')).toBe(false)
    expect(await open.inputValue('[data-set=level]')).toBe('-20')
    expect(await open.textContent('.caution')).toContain('Start low')
    await open.focus('[name=cell][value="0"]')
    await open.keyboard.press('Space')
    await open.keyboard.press('ArrowDown')
    expect(await open.isChecked('[name=cell][value="1"]')).toBe(true)
    await open.keyboard.press('ArrowDown')
    await open.click('[data-do=before]')
    expect(await open.isChecked('[name=cell][value="1"]')).toBe(true)
    await open.click('[data-do=write]')
    expect(await open.inputValue('[data-tell=yaml]')).toBe(found.exploration.written[1])
    await open.click('[data-do=play]')
    expect(await open.textContent('[data-do=play]')).toBe('Stop')
    expect(await open.textContent('[data-tell=muted]')).toContain('switched off')
    await open.click('[data-do=play]')
    expect(misdeeds).toEqual({ messages: [], requests: [], violations: [] })
    await close()
  })

  it.each(['light', 'dark'] as const)('axe finds nothing in %s', async scheme => {
    const { page: open, close } = await openFromDisk(running, page, { width: 1200, height: 900, scheme })
    await open.check('[name=cell][value="3"]')
    await open.click('[data-do=write]')
    await open.evaluate(AXE)
    const { violations, passes } = await open.evaluate<{
      violations: { id: string; nodes: { html: string }[] }[]
      passes: unknown[]
    }>('axe.run()')
    expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map(n => n.html).join(' ')}`)).toEqual([])
    expect(passes.length).toBeGreaterThan(15)
    await close()
  })
})
