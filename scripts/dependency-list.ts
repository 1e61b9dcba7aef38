import { readFileSync } from 'node:fs'
import { join } from 'node:path'

/** A package that is there at run time. */
interface Dependency {
  readonly name: string
  readonly version: string
  readonly licence: string
  /** Named in package.json, or brought along by another. */
  readonly direct: boolean
}

/** What each package that we name ourselves is for. */
const USED_FOR: Readonly<Record<string, string>> = {
  chokidar: '`render --watch`: hears of changed files',
  commander: 'reads the command line',
  'd3-array': 'charts: extents and bins',
  'd3-scale': 'charts: axes',
  'd3-shape': 'charts: curves',
  'env-paths': 'the system’s own place for a cache',
  'fast-xml-parser': 'reads iXML of recordings',
  'p-limit': 'how many files are open at once',
  tinyglobby: 'patterns such as `songs/*/recipe.yaml`',
  wavefile: 'metadata chunks of WAVE files',
  yaml: 'recipes and locks',
}

/** Licences that go with ours without a further word. */
const ALLOWED: ReadonlySet<string> = new Set([
  'MIT',
  'ISC',
  'BSD-3-Clause',
  'BSD-2-Clause',
  'Apache-2.0',
  '0BSD',
])

interface LockEntry {
  readonly version: string
  readonly dev?: true
  readonly license?: string
  readonly hasInstallScript?: true
  readonly integrity?: string
}

const root = join(import.meta.dirname, '..')
const read = (file: string): unknown => JSON.parse(readFileSync(join(root, file), 'utf8'))

/** Every package that a user of Sumwell installs, by name. @throws Error where one has no licence that is allowed, no checksum, or a script that it runs */
export const runtimeDependencies = (): readonly Dependency[] => {
  const { dependencies } = read('package.json') as { dependencies: Record<string, string> }
  const { packages } = read('package-lock.json') as { packages: Record<string, LockEntry> }
  return Object.entries(packages)
    .filter(([path, { dev }]) => path !== '' && dev !== true)
    .map(([path, entry]): Dependency => {
      const name = path.replace(/^.*node_modules\//, '')
      // What the package says of itself, not what the lock file says of it.
      const { license = '' } = read(join(path, 'package.json')) as { license?: string }
      if (!ALLOWED.has(license)) throw new Error(`${name} has the licence ${license}: is that allowed?`)
      if (entry.integrity?.startsWith('sha512-') !== true)
        throw new Error(`${name} has no checksum in the lock file`)
      if (entry.hasInstallScript === true) throw new Error(`${name} runs a script when it is installed`)
      return { name, version: entry.version, licence: license, direct: name in dependencies }
    })
    .sort((a, b) => (a.name < b.name ? -1 : 1))
}

/** The list as it stands in docs/security.md. */
export const dependencyTables = (): string => {
  const all = runtimeDependencies()
  const direct = all.filter(one => one.direct)
  const others = all.filter(one => !one.direct)
  const rows = direct.map(({ name, version, licence }) => {
    const use = USED_FOR[name]
    if (use === undefined) throw new Error(`what is ${name} for? Say it in scripts/dependency-list.ts`)
    return `| ${name} | ${version} | ${licence} | ${use} |`
  })
  return `${direct.length} packages that Sumwell names, and ${others.length} that they bring along:

| package | version | licence | for |
|---|---|---|---|
${rows.join('\n')}

Brought along: ${others.map(({ name, version, licence }) => `${name} ${version} (${licence})`).join(', ')}.
`
}
