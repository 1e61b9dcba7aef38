/** Writes the help that docs/commands.md shows anew: `npm run docs`. The words around it are left alone; a test compares. */
import { readFileSync, writeFileSync } from 'node:fs'
import { helpOf } from '../test/cli/help-of.js'

const path = 'docs/commands.md'
const page = readFileSync(path, 'utf8').replace(
  /^```\n\$ sumwell (.*)\n[\s\S]*?^```$/gm,
  (_, call: string) =>
    `\`\`\`\n$ sumwell ${call}\n${helpOf(call.split(' ').filter(word => word !== '--help'))}\`\`\``,
)
writeFileSync(path, page)
