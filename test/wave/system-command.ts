import { execFileSync } from 'node:child_process'

/** Runs a command of the operating system (`mkfifo`, `mount`, …); throws where it fails. */
export const system = (command: string, ...args: readonly string[]): void => {
  execFileSync(command, args, { stdio: 'pipe' })
}
