/**
 * Takes the picture of a report's first screen that the README shows:
 * `npx tsx scripts/report-picture.ts FOLDER/report.html docs/report.png`. A part of the page, another width or the dark:
 * `… docs/report-group.png '#group-0' 1280 dark`.
 */
import { resolve } from 'node:path'
import { chromium } from 'playwright-core'
import { unpackedBrowser } from '../test/global-setup.js'

const [page, picture, part = '', width = '1280', scheme = 'light'] = process.argv.slice(2)
if (page === undefined || picture === undefined) throw new Error('which page, and where to put the picture?')

const browser = await chromium.launch({ executablePath: await unpackedBrowser(), args: ['--no-sandbox'] })
const context = await browser.newContext({
  viewport: { width: Number(width), height: 800 },
  deviceScaleFactor: 1,
  colorScheme: scheme === 'dark' ? 'dark' : 'light',
  offline: true,
})
const tab = await context.newPage()
await tab.goto(`file://${resolve(page)}`)
if (part === '') await tab.screenshot({ path: picture })
else await tab.locator(part).screenshot({ path: picture })
await browser.close()
