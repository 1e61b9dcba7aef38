import { resolve } from 'node:path'
import { createVitest, type TestModule, type TestSpecification } from 'vitest/node'

/** What the child is asked: run these test files, in this order, and stop at the first failure if told. */
export interface Order {
  readonly changed: string | null
  readonly files: readonly string[]
  readonly bail: boolean
}

export interface Outcome {
  readonly failed: boolean
  /** The test that failed first, or what went wrong outside of tests. */
  readonly by: string | null
  readonly milliseconds: Readonly<Record<string, number>>
}

/**
 * A child process that keeps one test runner open, since starting it costs more than most runs. It runs in the folder of the sandbox.
 * The order of files is kept: what is quick, or has often killed, comes first.
 */
const order: string[] = []
class GivenOrder {
  sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    return Promise.resolve([...files].sort((a, b) => order.indexOf(a.moduleId) - order.indexOf(b.moduleId)))
  }
  shard(files: TestSpecification[]): Promise<TestSpecification[]> {
    return Promise.resolve(files)
  }
}

const vitest = await createVitest('test', {
  watch: false,
  reporters: [{}],
  pool: 'forks',
  isolate: false,
  maxWorkers: 1,
  fileParallelism: false,
  sequence: { sequencer: GivenOrder },
  bail: 1,
})
const known = await vitest.globTestSpecifications()

const failureOf = (module: TestModule): string | null => {
  for (const test of module.children.allTests('failed'))
    return `${module.relativeModuleId} > ${test.fullName}`
  return module.ok() ? null : `${module.relativeModuleId} (does not load)`
}

let mended: string | null = null

const runOrder = async ({ changed, files, bail }: Order): Promise<Outcome> => {
  // The file of the order before has been mended since.
  for (const file of [mended, changed]) if (file !== null) vitest.invalidateFile(resolve(file))
  mended = changed
  const paths = files.map(file => resolve(file))
  order.splice(0, order.length, ...paths)
  const wanted = known.filter(({ moduleId }) => paths.includes(moduleId))
  if (wanted.length !== files.length) throw new Error('a test file is not known')
  vitest.config.bail = bail ? 1 : 0
  const result = await vitest.runTestSpecifications(wanted, false)
  // The runner also remembers files of earlier orders, and what it left out after a failure keeps its former state: the order tells.
  const testModules = result.testModules
    .filter(({ moduleId }) => paths.includes(moduleId))
    .sort((a, b) => paths.indexOf(a.moduleId) - paths.indexOf(b.moduleId))
  const { unhandledErrors } = result
  const failures = testModules.map(failureOf).filter(name => name !== null)
  const milliseconds: Record<string, number> = {}
  for (const module of testModules) milliseconds[module.relativeModuleId] = module.diagnostic().duration
  const by = failures[0] ?? (unhandledErrors.length > 0 ? String(unhandledErrors[0]) : null)
  return { failed: by !== null, by, milliseconds }
}

process.on('message', (message: Order) => {
  void runOrder(message)
    .catch((error: unknown): Outcome => ({ failed: true, by: `runner: ${String(error)}`, milliseconds: {} }))
    .then(outcome => process.send?.(outcome))
})
process.send?.('ready')
