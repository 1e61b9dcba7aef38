import { type Browser, chromium, type Page } from 'playwright-core'
import { inject } from 'vitest'

const browser = inject('browser')

/** Why the browser tests cannot run, or null where they can. */
export const browserMissing: string | null = 'missing' in browser ? browser.missing : null

if (browserMissing !== null) {
  console.warn(
    `\n!!! BROWSER TESTS SKIPPED: ${browserMissing}\n!!! The page was not looked at in a real browser.\n`,
  )
}

/** Few flags of our own: the package's would switch off the very protections that the page is tested under. */
export const launch = async (): Promise<Browser> => {
  if ('missing' in browser) throw new Error(browser.missing)
  return chromium.launch({ executablePath: browser.path, args: ['--no-sandbox'] })
}

/** What a page did that it should not. */
export interface Misdeeds {
  readonly messages: string[]
  readonly requests: string[]
  readonly violations: string[]
}

export interface Looks {
  readonly width: number
  readonly height: number
  readonly scheme?: 'light' | 'dark'
}

/** Opens a file from disk in a fresh, offline context, with an eye on its console, its policy and everything that it asks for. */
export const openFromDisk = async (
  running: Browser,
  file: string,
  looks: Looks,
): Promise<{ page: Page; misdeeds: Misdeeds; close: () => Promise<void> }> => {
  const misdeeds: Misdeeds = { messages: [], requests: [], violations: [] }
  const context = await running.newContext({
    viewport: { width: looks.width, height: looks.height },
    deviceScaleFactor: 1,
    reducedMotion: 'reduce',
    colorScheme: looks.scheme ?? 'light',
    offline: true,
  })
  await context.route('**/*', async route => {
    const url = route.request().url()
    if (url === `file://${file}`) return route.continue()
    misdeeds.requests.push(url)
    return route.abort()
  })
  const page = await context.newPage()
  page.on('console', message => misdeeds.messages.push(message.text()))
  page.on('pageerror', error => misdeeds.messages.push(error.message))
  await page.exposeFunction('tellViolation', (text: string) => misdeeds.violations.push(text))
  await page.addInitScript(`document.addEventListener('securitypolicyviolation',
    event => window.tellViolation(event.violatedDirective + ' ' + event.blockedURI))`)
  await page.goto(`file://${file}`)
  return { page, misdeeds, close: () => context.close() }
}
