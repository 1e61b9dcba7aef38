import { spawn } from 'node:child_process'
import { createHash } from 'node:crypto'
import { readdirSync, readFileSync, statSync } from 'node:fs'
import { join, relative } from 'node:path'
import { fileURLToPath } from 'node:url'

export const root = fileURLToPath(new URL('../../../', import.meta.url))
export const main = join(root, 'dist/cli/main.js')

const filesUnder = (folder: string): string[] =>
  readdirSync(folder, { withFileTypes: true }).flatMap(entry => {
    const path = join(folder, entry.name)
    return entry.isDirectory() ? filesUnder(path) : [path]
  })

/** These tests run what is built. A build that is older than the source would test something else than what is read. */
export const expectFreshBuild = (): void => {
  const newest = (folder: string) =>
    Math.max(
      ...filesUnder(join(root, folder))
        .filter(f => f.endsWith('.ts'))
        .map(f => statSync(f).mtimeMs),
    )
  const builtAt = statSync(main, { throwIfNoEntry: false })?.mtimeMs ?? 0
  if (builtAt < newest('src')) throw new Error('dist is older than src: npm run build')
}

export interface Ended {
  readonly status: number | null
  readonly stdout: string
  readonly stderr: string
}

export interface Options {
  readonly cwd?: string
  readonly environment?: Record<string, string>
  /** Sends this signal as soon as `when` holds for what was printed on stderr so far. */
  readonly interrupt?: {
    readonly when: (stderr: string) => boolean
    readonly signal: NodeJS.Signals
    readonly times: number
  }
  readonly program?: string
}

/** Runs the built command with pipes for streams, and waits for its end. */
export const sumwell = (args: readonly string[], options: Options = {}): Promise<Ended> =>
  new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [options.program ?? main, ...args], {
      cwd: options.cwd ?? root,
      // Nothing is remembered from one test to the next, unless a test asks for a cache of its own.
      env: { ...process.env, NO_COLOR: '1', SUMWELL_CACHE: '', ...options.environment },
    })
    let stdout = ''
    let stderr = ''
    let sent = 0
    child.stdout.setEncoding('utf8').on('data', (text: string) => (stdout += text))
    child.stderr.setEncoding('utf8').on('data', (text: string) => {
      stderr += text
      const { interrupt } = options
      // One signal for each piece of text, so that two of the same kind do not melt into one.
      if (interrupt === undefined || sent === interrupt.times || !interrupt.when(stderr)) return
      sent += 1
      child.kill(interrupt.signal)
    })
    child.on('error', reject)
    child.on('close', status => {
      resolve({ status, stdout, stderr })
    })
  })

/** Each file under a folder with the SHA-256 of its bytes. */
export const hashesUnder = (folder: string): Record<string, string> =>
  Object.fromEntries(
    filesUnder(folder)
      .map(path => [relative(folder, path), createHash('sha256').update(readFileSync(path)).digest('hex')])
      .sort(),
  ) as Record<string, string>
