/** Bundles the script of the report page into src/report/generated/, minified: `npx tsx scripts/bundle-page.ts`. */
import { mkdirSync, writeFileSync } from 'node:fs'
import { dirname } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build, type Plugin } from 'esbuild'

const root = fileURLToPath(new URL('..', import.meta.url))

/** Filters and transforms run without WebAssembly in the page. */
export const withoutKernels: Plugin = {
  name: 'without-kernels',
  setup: bundle => {
    bundle.onResolve({ filter: /\/kernels\.js$/ }, () => ({
      path: `${root}src/report/browser/no-kernels.ts`,
    }))
  },
}

/** The text of the page's script: one function that runs when the page has been read. No `</` in it: it stands in a script element. */
export const pageScript = async (): Promise<string> => {
  const { outputFiles } = await build({
    entryPoints: [`${root}src/report/browser/main.ts`],
    bundle: true,
    minify: true,
    format: 'iife',
    platform: 'browser',
    target: 'es2022',
    charset: 'utf8',
    write: false,
    plugins: [withoutKernels],
    legalComments: 'none',
    logLevel: 'warning',
  })
  return (outputFiles[0]?.text ?? '').trim().replaceAll('</', '<\\/')
}

const main = async (): Promise<void> => {
  const file = `${root}src/report/generated/page-script.js`
  mkdirSync(dirname(file), { recursive: true })
  writeFileSync(file, `export const PAGE_SCRIPT = ${JSON.stringify(await pageScript())}\n`)
  writeFileSync(
    file.replace(/\.js$/, '.d.ts'),
    '/** Script of the report page; made by scripts/bundle-page.ts. */\nexport declare const PAGE_SCRIPT: string\n',
  )
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await main()
