import { spawnSync } from 'node:child_process'
import { existsSync, mkdtempSync, readFileSync, renameSync, rmSync, statSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir, userInfo } from 'node:os'
import { join } from 'node:path'
import type { TestProject } from 'vitest/node'

declare module 'vitest' {
  export interface ProvidedContext {
    /** The browser for test/browser, or why there is none. */
    browser: { readonly path: string } | { readonly missing: string }
  }
}

/** A whole binary is about 190 MB; a torn one was seen with 48. */
const LEAST_BYTES = 150_000_000

const versionOf = (name: string): string => {
  const file = createRequire(import.meta.url)
    .resolve(name)
    .replace(/(node_modules\/@sparticuz\/chromium)\/.*/, '$1')
  const { version } = JSON.parse(readFileSync(join(file, 'package.json'), 'utf8')) as { version: string }
  return version
}

const isWhole = (binary: string): boolean => existsSync(binary) && statSync(binary).size >= LEAST_BYTES

/**
 * The browser package unpacks into the temporary folder under a fixed name and returns whatever lies there, whole or not, new or old.
 * So: once per run, into a folder of its own per version and user, and put in place by a rename.
 */
export const unpackedBrowser = async (): Promise<string> => {
  const home = join(tmpdir(), `sumwell-browser-${versionOf('@sparticuz/chromium')}-${userInfo().uid}`)
  const binary = join(home, 'chromium')
  if (isWhole(binary)) return binary
  const fresh = mkdtempSync(`${home}-`)
  const former = process.env['TMPDIR']
  try {
    process.env['TMPDIR'] = fresh
    const { default: chromium } = await import('@sparticuz/chromium')
    await chromium.executablePath()
  } finally {
    if (former === undefined) delete process.env['TMPDIR']
    else process.env['TMPDIR'] = former
  }
  if (!isWhole(join(fresh, 'chromium'))) throw new Error('the browser did not unpack whole')
  try {
    rmSync(home, { recursive: true, force: true })
    renameSync(fresh, home)
  } catch (error) {
    // Another run was quicker: its copy serves as well.
    rmSync(fresh, { recursive: true, force: true })
    if (!isWhole(binary)) throw error
  }
  return binary
}

const found = async (): Promise<{ readonly path: string } | { readonly missing: string }> => {
  try {
    const path = await unpackedBrowser()
    const asked = spawnSync(path, ['--version'], { encoding: 'utf8' })
    if (asked.status === 0) return { path }
    return { missing: `the browser does not start (it needs libnss3 and libnspr4): ${asked.stderr.trim()}` }
  } catch (error) {
    return { missing: error instanceof Error ? error.message : String(error) }
  }
}

export default async function setup(project: TestProject): Promise<void> {
  project.provide('browser', await found())
}
