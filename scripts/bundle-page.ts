/** Bundles the scripts of the pages into src/report/generated/, minified: `npx tsx scripts/bundle-page.ts`. */
import { mkdirSync, writeFileSync } from 'node:fs'
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

/** The text of a page's script: one function that runs when the page has been read. No `</` in it: it stands in a script element. */
export const pageScript = async (entry: 'main' | 'explore' = 'main'): Promise<string> => {
  const { outputFiles } = await build({
    entryPoints: [`${root}src/report/browser/${entry}.ts`],
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

const generate = async (entry: 'main' | 'explore', file: string, name: string, of: string): Promise<void> => {
  const folder = `${root}src/report/generated`
  mkdirSync(folder, { recursive: true })
  writeFileSync(`${folder}/${file}.js`, `export const ${name} = ${JSON.stringify(await pageScript(entry))}\n`)
  writeFileSync(
    `${folder}/${file}.d.ts`,
    `/** Script of ${of}; made by scripts/bundle-page.ts. */\nexport declare const ${name}: string\n`,
  )
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  await generate('main', 'page-script', 'PAGE_SCRIPT', 'the report page')
  await generate('explore', 'explore-script', 'EXPLORE_SCRIPT', 'the page of explore')
}
