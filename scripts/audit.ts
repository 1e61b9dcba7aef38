/**
 * Asks the package registry whether anything that is installed is known to be dangerous: `npm run audit:known`. What is known of a package
 * that users install is a failure, what is known of one that only developers install is told. A registry that does not answer is no failure.
 */
import { spawnSync } from 'node:child_process'

interface Answer {
  readonly vulnerabilities?: Readonly<Record<string, { readonly severity: string; readonly range: string }>>
  readonly metadata?: { readonly dependencies?: { readonly total?: number } }
}

/** Null where there is no answer that can be read. */
export const answerOf = (text: string): Answer | null => {
  try {
    const answer = JSON.parse(text) as Answer
    return typeof answer.vulnerabilities === 'object' ? answer : null
  } catch {
    return null
  }
}

const ask = (...more: readonly string[]): Answer | null => {
  const asked = spawnSync('npm', ['audit', '--json', '--audit=true', ...more], {
    encoding: 'utf8',
    timeout: 60_000,
  })
  return answerOf(asked.stdout)
}

export const tellAudit = (): number => {
  const atRunTime = ask('--omit=dev')
  if (atRunTime === null) {
    process.stdout.write('audit: the registry gives no answer; nothing is known\n')
    return 0
  }
  const found = Object.entries(atRunTime.vulnerabilities ?? {})
  const developing = Object.keys(ask()?.vulnerabilities ?? {}).filter(
    name => !found.some(([own]) => own === name),
  )
  for (const [name, { severity, range }] of found)
    process.stdout.write(`audit: ${name} ${range}: ${severity}\n`)
  if (developing.length > 0) process.stdout.write(`audit: only for developers: ${developing.join(', ')}\n`)
  process.stdout.write(`audit: ${found.length} known dangers in what users install\n`)
  return found.length === 0 ? 0 : 1
}

if (process.argv[1]?.endsWith('audit.ts') === true) process.exitCode = tellAudit()
