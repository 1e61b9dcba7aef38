// Builds what `npm ci` leaves behind: generated validators, the command in dist/, and what it needs beside it.
import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { chmodSync, cpSync, existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'

const run = (script, ...args) => {
  const done = spawnSync(process.execPath, [script, ...args], { stdio: 'inherit' })
  if (done.status !== 0) process.exit(done.status ?? 1)
}

const tsx = 'node_modules/tsx/dist/cli.mjs'
run(tsx, 'scripts/compile-schemas.ts')
run(tsx, 'scripts/compile-kernels.ts')
if (existsSync('scripts/bundle-page.ts')) run(tsx, 'scripts/bundle-page.ts')

rmSync('dist', { recursive: true, force: true })
run('node_modules/typescript/bin/tsc', '-p', 'tsconfig.build.json')

// tsc leaves plain JavaScript and its generated neighbours behind: copy them.
for (const room of ['recipe', 'report', 'lock']) {
  const generated = `src/${room}/generated`
  if (existsSync(generated)) cpSync(generated, `dist/${room}/generated`, { recursive: true })
}
// The package carries the types that its interface names, and no others.
const wanted = new Set()
const reach = file => {
  if (wanted.has(file)) return
  wanted.add(file)
  for (const [, name] of readFileSync(file, 'utf8').matchAll(/(?:from |import\()['"](\.[^'"]+)\.js['"]/g))
    reach(join(dirname(file), `${name}.d.ts`))
}
reach('dist/index.d.ts')
for (const name of readdirSync('dist', { recursive: true }).map(String)) {
  const file = join('dist', name)
  if (name.endsWith('.d.ts') && !wanted.has(file)) rmSync(file)
}
// What names the built program: results that another build has made are never taken for its own.
const sum = createHash('sha256')
const files = readdirSync('dist', { recursive: true })
  .map(String)
  .filter(name => /\.(js|wasm)$/.test(name))
  .sort()
for (const name of files) sum.update(name).update(readFileSync(`dist/${name}`))
writeFileSync('dist/build-id', `${sum.digest('hex').slice(0, 16)}\n`)
if (existsSync('dist/cli/main.js')) chmodSync('dist/cli/main.js', 0o755)
