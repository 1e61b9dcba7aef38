import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { pageOf } from '../../src/report/page-of.js'
import { visibleText } from '../../src/terms/visible-text.js'
import { lanternReport } from '../report/fixture.js'
import { HOSTILE, withText } from '../report/hostile-report.js'
import { browserMissing, launch, openFromDisk } from './browser.js'

it('a browser is there wherever the project is checked', () => {
  if (process.env['CI']) expect(browserMissing).toBeNull()
})

/** What is seen of an open page; code for the page stands as text, since this project's types know no browser. */
interface Seen {
  readonly scroll: number
  readonly charts: readonly { readonly width: number; readonly height: number; readonly right: number }[]
  readonly firstLook: number
  readonly paper: string
}
const LOOK = `({
  scroll: document.documentElement.scrollWidth,
  charts: [...document.querySelectorAll('svg[role=img]')]
    .filter(chart => chart.checkVisibility())
    .map(chart => chart.getBoundingClientRect())
    .filter(box => box.width > 0)
    .map(box => ({ width: box.width, height: box.height, right: box.right })),
  firstLook: document.querySelector('.first-look').getBoundingClientRect().bottom,
  paper: getComputedStyle(document.body).backgroundColor,
})`
/** Of the buttons of a choice, only the chosen one is a stop of its own; the arrow keys go on from there. */
const REACHABLE =
  'a[href], summary, [tabindex="0"], button:enabled, input:enabled:not([type=radio]), input[type=radio]:enabled:checked, textarea'

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

interface AxeResult {
  readonly passes: readonly unknown[]
  readonly violations: readonly {
    readonly id: string
    readonly nodes: readonly { readonly html: string }[]
  }[]
}

describe.skipIf(browserMissing !== null)('the page in a real browser', () => {
  let running: Browser
  let folder = ''
  let file = ''
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'sumwell-page-'))
    file = join(folder, 'report.html')
    writeFileSync(file, pageOf(lanternReport()))
    running = await launch()
  })
  afterAll(async () => {
    await running.close()
    rmSync(folder, { recursive: true, force: true })
  })

  it('the watch over a page sees what it is there to see', async () => {
    const bad = join(folder, 'bad.html')
    writeFileSync(
      bad,
      `<!doctype html><meta http-equiv="Content-Security-Policy" content="script-src 'none'">
      <img src="http://127.0.0.1:9/x.png"><script>document.title = 'ran'</script>`,
    )
    const { page, misdeeds, close } = await openFromDisk(running, bad, { width: 360, height: 740 })
    await page.waitForLoadState('load')
    expect(misdeeds.requests).toEqual(['http://127.0.0.1:9/x.png'])
    await expect.poll(() => misdeeds.violations.length).toBeGreaterThan(0)
    expect(misdeeds.messages.length).toBeGreaterThan(0)
    expect(await page.title()).toBe('')
    await close()
  })

  it.each([
    [360, 740],
    [768, 1024],
    [1280, 800],
    [2560, 1440],
  ])(
    'at %i × %i: opens from disk in silence, asks for nothing, never scrolls sideways, shows its charts',
    async (width, height) => {
      const { page, misdeeds, close } = await openFromDisk(running, file, { width, height })
      const seen = await page.evaluate<Seen>(LOOK)
      expect(misdeeds).toEqual({ messages: [], requests: [], violations: [] })
      expect(seen.scroll).toBeLessThanOrEqual(width)
      expect(seen.charts).toHaveLength(3 + 2 + 4 + 3 + 1) // rulers, close-ups, blends, maps and spectra, the sum of all: each in the one size that fits
      for (const chart of seen.charts) {
        expect(chart.width).toBeGreaterThan(250)
        expect(chart.height).toBeGreaterThan(60)
        expect(chart.right).toBeLessThanOrEqual(width)
      }
      expect(seen.paper).toBe('rgb(250, 248, 243)') // the style sheet is let in by its hash
      if (width >= 1280) expect(seen.firstLook).toBeLessThanOrEqual(800)
      await close()
    },
  )

  // Structure is the same in both schemes; what differs in the dark is contrast.
  it.each([
    ['light', 'axe.run()', 15],
    ['dark', "axe.run({ runOnly: ['color-contrast'] })", 1],
  ] as const)('axe finds nothing in %s, everything unfolded', async (scheme, run, rules) => {
    const { page, close } = await openFromDisk(running, file, { width: 1280, height: 800, scheme })
    await page.evaluate(`for (const details of document.querySelectorAll('details')) details.open = true`)
    // The policy stops added script elements; evaluating goes round it without weakening it.
    await page.evaluate(AXE)
    const result = await page.evaluate<AxeResult>(run)
    expect(result.violations.map(v => `${v.id}: ${v.nodes[0]?.html ?? ''}`)).toEqual([])
    expect(result.passes.length).toBeGreaterThanOrEqual(rules)
    await close()
  })

  it.each([
    ['markup and scripts', HOSTILE.join(' ')],
    ['a long name without a space', 'contrabass'.repeat(30)],
  ])('%s in every name: nothing runs, nothing is asked for, nothing scrolls sideways', async (_, text) => {
    const hostile = join(folder, 'hostile.html')
    writeFileSync(hostile, pageOf(withText(text)))
    for (const width of [360, 1280]) {
      const { page, misdeeds, close } = await openFromDisk(running, hostile, { width, height: 800 })
      const seen = await page.evaluate<Seen>(LOOK)
      expect(misdeeds).toEqual({ messages: [], requests: [], violations: [] })
      expect(seen.scroll).toBeLessThanOrEqual(width)
      expect(await page.title()).toContain(visibleText(text).slice(0, 20))
      await close()
    }
  })

  it('prints on at most four pages of A4', async () => {
    const { page, close } = await openFromDisk(running, file, { width: 1280, height: 800, scheme: 'dark' })
    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1')
    const pages = pdf.match(/\/Type\s*\/Page\b(?!s)/g) ?? []
    expect(pages.length).toBeGreaterThanOrEqual(2)
    expect(pages.length).toBeLessThanOrEqual(4)
    const [, width, height] = /\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf)!
    expect(Number(width)).toBeCloseTo(595, -1)
    expect(Number(height)).toBeCloseTo(842, -1)
    await close()
  })

  it('everything that can be reached is reached by the keyboard alone', async () => {
    const { page, close } = await openFromDisk(running, file, { width: 1280, height: 800 })
    const wanted = await page.evaluate<number>(
      `[...document.querySelectorAll('${REACHABLE}')].filter(e => e.checkVisibility()).length`,
    )
    const reached = new Set<number>()
    for (let i = 0; i < wanted; i++) {
      await page.keyboard.press('Tab')
      reached.add(
        await page.evaluate<number>(
          `[...document.querySelectorAll('${REACHABLE}')].indexOf(document.activeElement)`,
        ),
      )
    }
    expect(wanted).toBeGreaterThan(20)
    expect(reached.has(-1)).toBe(false)
    expect(reached.size).toBe(wanted)
    await close()
  })
})
