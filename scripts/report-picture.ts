/**
 * Takes the picture of a report's first screen that the README shows:
 * `npx tsx scripts/report-picture.ts FOLDER/report.html docs/report.png`
 */
import { resolve } from 'node:path'
import { chromium } from 'playwright-core'
import { unpackedBrowser } from '../test/global-setup.js'

const [page, picture] = process.argv.slice(2)
if (page === undefined || picture === undefined) throw new Error('which page, and where to put the picture?')

const browser = await chromium.launch({ executablePath: await unpackedBrowser(), args: ['--no-sandbox'] })
const context = await browser.newContext({
  viewport: { width: 1280, height: 800 },
  deviceScaleFactor: 1,
  colorScheme: 'light',
  offline: true,
})
const tab = await context.newPage()
await tab.goto(`file://${resolve(page)}`)
await tab.screenshot({ path: picture })
await browser.close()
