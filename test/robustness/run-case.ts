import { spawn } from 'node:child_process'
import { createHash } from 'node:crypto'
import { chmodSync, lstatSync, readdirSync, readFileSync, readlinkSync } from 'node:fs'
import { dirname, join, relative } from 'node:path'
import { FAULT_CODES } from '../../src/terms/fault-codes.js'
import { WARNING_CODES } from '../../src/terms/warning.js'
import { main } from '../end-to-end/setting/sumwell.js'
import type { RobustCase, RobustOutcome } from './case.js'
import type { Ground, Grounds } from './ground.js'

/** No call takes this long, however busy the machine: what does hangs. */
const LONGEST_MS = 90_000
/** Nobody. */
const STRANGER = 65_534
const CODES: ReadonlySet<string> = new Set([...FAULT_CODES, ...WARNING_CODES])

/** Whether this machine can run it. */
export const canRun = (one: RobustCase): boolean =>
  process.platform !== 'win32' && (one.asStranger !== true || process.getuid?.() === 0)

/** Everything below the folder of a case and beside it, by path: contents as a checksum; nothing is opened that is no file. */
const stateOf = (folder: string): ReadonlyMap<string, string> => {
  const found = new Map<string, string>()
  const walk = (place: string): void => {
    for (const name of readdirSync(place)) {
      const path = join(place, name)
      const stats = lstatSync(path)
      const shown = relative(folder, path)
      if (stats.isDirectory()) {
        found.set(`${shown}/`, 'folder')
        walk(path)
      } else if (stats.isSymbolicLink()) found.set(shown, `link to ${readlinkSync(path)}`)
      else if (!stats.isFile()) found.set(shown, 'other')
      else if (stats.size > 64 * 2 ** 20) found.set(shown, `${stats.size} bytes, ${stats.mtimeMs}`)
      else found.set(shown, createHash('sha256').update(readFileSync(path)).digest('hex'))
    }
  }
  walk(dirname(folder))
  return found
}

const wordsOf = (call: string): string[] =>
  [...call.matchAll(/"([^"]*)"|(\S+)/g)].map(([, quoted, plain]) => quoted ?? plain ?? '').slice(1)

interface Ended {
  readonly status: number | null
  readonly stdout: string
  readonly stderr: string
  readonly hung: boolean
}

const run = (one: RobustCase, ground: Ground): Promise<Ended> =>
  new Promise((resolve, reject) => {
    const shell = ['-c', `sumwell() { "$NODE" "$MAIN" "$@"; }\n${one.call}`]
    const child = spawn(
      one.inShell === true ? 'bash' : process.execPath,
      one.inShell === true ? shell : [main, ...wordsOf(one.call)],
      {
        cwd: ground.folder,
        env: {
          ...process.env,
          NODE: process.execPath,
          MAIN: main,
          NO_COLOR: '1',
          SUMWELL_CACHE: '',
          ...one.environment,
        },
        stdio: ['ignore', 'pipe', 'pipe'],
        ...(one.asStranger === true ? { uid: STRANGER, gid: STRANGER } : {}),
      },
    )
    let stdout = ''
    let stderr = ''
    let hung = false
    let acted = false
    const timer = setTimeout(() => {
      hung = true
      child.kill('SIGKILL')
    }, LONGEST_MS)
    child.stdout.setEncoding('utf8').on('data', (text: string) => (stdout += text))
    child.stderr.setEncoding('utf8').on('data', (text: string) => {
      stderr += text
      if (acted || one.when === undefined || !stderr.includes(one.when.stderr)) return
      acted = true
      one.when.act(ground, signal => child.kill(signal))
    })
    child.on('error', reject)
    child.on('close', status => {
      clearTimeout(timer)
      resolve({ status, stdout, stderr, hung })
    })
  })

/** Faults stand as `place  CODE  sentence`, warnings as `CODE` with their sentences below it, and in a summary as `! whose: sentence`. */
const codedLines = (text: string): readonly { code: string; sentence: string }[] => {
  const lines = text.split('\n')
  return lines.flatMap((line, i) => {
    const [, code = '', sentence = ''] = /^(?:.* {2})?([A-Z][A-Z0-9_]+)(?: {2}(.*))?$/.exec(line) ?? []
    if (!CODES.has(code)) return []
    if (sentence !== '') return [{ code, sentence }]
    const below: string[] = []
    for (let at = i + 1; lines[at]?.startsWith('  ') === true; at++) below.push(lines[at]!.trim())
    return [{ code, sentence: below.join(' ') }]
  })
}

const saidIn = (one: RobustCase, text: string, coded: ReturnType<typeof codedLines>): string => {
  if (one.says !== undefined) return one.says.exec(text)?.[0] ?? ''
  const first = coded.find(({ code }) => code === one.codes?.[0]) ?? coded[0]
  return first === undefined ? '' : `${first.code} ${first.sentence}`
}

const complain = (one: RobustCase, complaint: string, text: string): never => {
  throw new Error(`${one.what}: ${complaint}\n--- printed:\n${text.slice(0, 4000)}`)
}

/** Runs a case by the built command and looks at everything that must hold. @throws Error that says what did not */
export const runCase = async (one: RobustCase, grounds: Grounds): Promise<RobustOutcome> => {
  const ground = grounds.make()
  try {
    one.set?.(ground)
    const before = stateOf(ground.folder)
    const ended = await run(one, ground)
    const text = `${ended.stderr}\n${ended.stdout}`.replaceAll(ground.folder, '…')
    const fail = (complaint: string): never => complain(one, complaint, text)
    if (ended.hung) fail(`no end after ${LONGEST_MS / 1000} s`)
    if (/\n\s+at .+:\d+:\d+|node:internal|Node\.js v\d/.test(text)) fail('a stack trace')
    if (/[\u0000-\u0008\u000b-\u001f\u007f]/.test(text.replaceAll('\r\n', '\n'))) fail('control characters')
    if (ended.status !== one.exit) fail(`status ${String(ended.status)} instead of ${one.exit}`)
    const coded = codedLines(text)
    const told = new Set(coded.map(({ code }) => code))
    for (const code of one.codes ?? []) if (!told.has(code)) fail(`${code} is not told`)
    if (told.has('INTERNAL') && one.codes?.includes('INTERNAL') !== true) fail('INTERNAL')
    const said = saidIn(one, text, coded)
    if (said === '') fail(`nothing is said${one.says === undefined ? '' : ` like ${String(one.says)}`}`)
    const after = stateOf(ground.folder)
    const others = [...new Set([...before.keys(), ...after.keys()])].filter(
      path => before.get(path) !== after.get(path) && one.writes?.test(path) !== true,
    )
    // A folder in whose time something changed may be another; what counts is what it holds.
    if (others.length > 0) fail(`changed: ${others.join(', ')}`)
    one.after?.(ground)
    return { said, exit: ended.status, text, codes: [...told] }
  } finally {
    for (const name of ['closed', 'stems', 'audio']) {
      try {
        chmodSync(ground.path(name), 0o755)
      } catch {
        // not in this case
      }
    }
    ground.remove()
  }
}
