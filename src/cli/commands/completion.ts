import type { Command } from 'commander'
import { bashCompletion } from '../completion/bash.js'
import { commandTable } from '../completion/command-table.js'
import { fishCompletion } from '../completion/fish.js'
import { zshCompletion } from '../completion/zsh.js'
import type { Shell } from '../shells.js'
import { terminalOf } from '../terminal.js'

const WRITERS = { bash: bashCompletion, zsh: zshCompletion, fish: fishCompletion } as const

export const completion = (shell: Shell, program: Command): Promise<void> => {
  terminalOf(process.stdout, true).write(WRITERS[shell](commandTable(program)))
  return Promise.resolve()
}
