/**
 * Compiles the WebAssembly text under src/signal/kernel/ into one module, kept as a TypeScript file of base64 so that it is found from
 * source, from dist/ and in a bundle alike. All kernels share one memory, which the program gives them.
 */
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import wabt from 'wabt'

const root = join(import.meta.dirname, '..')
const folder = join(root, 'src/signal/kernel')
const target = join(root, 'src/signal/generated')

const texts = readdirSync(folder)
  .filter(name => name.endsWith('.wat'))
  .sort()
  .map(name => readFileSync(join(folder, name), 'utf8'))
const text = `(module (import "kernel" "memory" (memory 1))\n${texts.join('\n')}\n)`

const tools = await wabt()
const module = tools.parseWat('kernels.wat', text, { simd: true })
module.validate()
const bytes = Buffer.from(module.toBinary({}).buffer)
mkdirSync(target, { recursive: true })
writeFileSync(
  join(target, 'kernel-bytes.ts'),
  `/** WebAssembly module, base64. Made by scripts/compile-kernels.ts. */\nexport const KERNEL_BYTES =\n  '${bytes.toString('base64')}'\n`,
)
