import { readdirSync, readFileSync } from 'node:fs'
import { builtinModules } from 'node:module'
import { join, relative } from 'node:path'
import { expect, test } from 'vitest'
import { runtimeDependencies } from '../../scripts/dependency-list.js'

const root = join(import.meta.dirname, '../..')

/** Modules of Node by which a program reaches the network, starts another one, or runs text as code. */
const FORBIDDEN = [
  ...['net', 'http', 'https', 'http2', 'tls', 'dns', 'dns/promises', 'dgram', 'quic'],
  ...['child_process', 'cluster', 'vm', 'repl', 'inspector', 'inspector/promises', 'wasi', 'trace_events'],
]

/** The engine's collector is only had by the one word `globalThis.gc` in a context of its own; nothing else of `vm` is used, and no text from outside. */
const ALLOWED: Readonly<Record<string, { readonly names: readonly string[]; readonly uses: RegExp }>> = {
  'dist/terms/collect.js': { names: ['vm'], uses: /^runInNewContext\('globalThis\.gc'\)$/ },
}

const modulesIn = (text: string): readonly string[] =>
  [...text.matchAll(/(?:from\s*|import\s*\(?\s*|require\s*\(\s*)["']([^"']+)["']/g)].map(([, name]) =>
    (name ?? '').replace(/^node:/, ''),
  )

const filesIn = (folder: string, ending: RegExp): readonly string[] =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter(name => ending.test(name) && !/(^|\/)(test|tests|node_modules)\//.test(name))
    .map(name => join(root, folder, name))

test('no file of the program imports what reaches the network, starts a program or runs text', () => {
  const files = filesIn('dist', /\.m?js$/)
  expect(files.length).toBeGreaterThan(300)
  const seen = new Set<string>()
  for (const file of files) {
    const text = readFileSync(file, 'utf8')
    for (const name of modulesIn(text)) if (builtinModules.includes(name)) seen.add(name)
    const allowed = ALLOWED[relative(root, file)]
    expect([file, modulesIn(text).filter(name => FORBIDDEN.includes(name))]).toEqual([
      file,
      allowed?.names ?? [],
    ])
    if (allowed !== undefined) {
      const calls = [...text.matchAll(/\b(?:run\w*|compile\w*|Script)\([^)]*\)/g)].map(([call]) => call)
      expect(calls.length).toBe(1)
      for (const call of calls) expect(call).toMatch(allowed.uses)
    }
    expect([
      file,
      /\b(eval|new Function|fetch|XMLHttpRequest|WebSocket|EventSource)\s*\(/.test(
        text.replace(/^\s*(\/\/|\*).*$/gm, ''),
      ),
    ]).toEqual([file, false])
  }
  // Those that it does need; a new one is looked at before it stands here.
  expect([...seen].sort()).toEqual([
    ...['crypto', 'events', 'fs', 'os', 'path', 'timers/promises', 'v8', 'vm', 'worker_threads'],
  ])
})

/** Of what we depend on, only the reader of the command line holds such an import: it can start commands that are programs of their own. */
const KNOWN: Readonly<Record<string, readonly string[]>> = { commander: ['child_process'] }

test('nor does anything that it depends on, but where that is known', () => {
  const found: Record<string, string[]> = {}
  let files = 0
  for (const { name } of runtimeDependencies()) {
    const modules = new Set<string>()
    for (const file of filesIn(`node_modules/${name}`, /\.[cm]?js$/)) {
      files++
      for (const module of modulesIn(readFileSync(file, 'utf8')))
        if (FORBIDDEN.includes(module)) modules.add(module)
    }
    if (modules.size > 0) found[name] = [...modules].sort()
  }
  expect(files).toBeGreaterThan(100)
  expect(found).toEqual(KNOWN)
})

test('no command is a program of its own, which is what the reader of the command line would start', () => {
  const program = filesIn('src/cli/program', /\.ts$/)
    .map(file => readFileSync(file, 'utf8'))
    .join('\n')
  expect(program).toContain('.command(')
  // the form with a description as the second argument, or executableFile, makes it one
  expect(program).not.toMatch(/\.command\(\s*'[^']*'\s*,|executableFile|executableDir/)
})
