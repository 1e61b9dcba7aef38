import { readdirSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { writeTable } from './measuring/page.js'

/** `npm run bench -- NAME…`: runs bench/NAME.ts and prints the table it returns. Without a name: all of them. */
const folder = dirname(fileURLToPath(import.meta.url))
const known = readdirSync(folder)
  .filter(file => file.endsWith('.ts') && file !== 'main.ts')
  .map(file => basename(file, '.ts'))
const wanted = process.argv.slice(2).filter(name => !name.startsWith('-'))
const unknown = wanted.filter(name => !known.includes(name))
if (unknown.length > 0) {
  process.stderr.write(`no bench named ${unknown.join(', ')}; there are: ${known.join(', ')}\n`)
  process.exitCode = 2
} else {
  for (const name of wanted.length > 0 ? wanted : known) {
    const bench = (await import(pathToFileURL(join(folder, `${name}.ts`)).href)) as {
      run?: () => Promise<string>
    }
    // Parts that others share have no `run`.
    if (bench.run === undefined) continue
    const table = await bench.run()
    process.stdout.write(`## ${name}\n\n${table}\n\n`)
    writeTable(name, table)
  }
}
