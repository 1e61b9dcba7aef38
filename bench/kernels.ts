import { spawnSync } from 'node:child_process'

/* `npm run bench -- kernels`: the inner loops in WebAssembly against their twins, each in a process of its own. */

const costs = (plain: '' | '1'): Readonly<Record<string, number>> => {
  const done = spawnSync(process.execPath, ['node_modules/tsx/dist/cli.mjs', 'bench/kernels/costs.ts'], {
    encoding: 'utf8',
    env: { ...process.env, SUMWELL_PLAIN: plain },
  })
  if (done.status !== 0) throw new Error(done.stderr)
  return JSON.parse(done.stdout) as Record<string, number>
}

export const run = (): Promise<string> => {
  const twins = costs('1')
  const rows = Object.entries(costs('')).map(([work, ms]) => `| ${work} | ${ms} | ${twins[work]} |`)
  return Promise.resolve(
    [
      'Processor milliseconds for five minutes of one channel at 48 kHz.\n',
      '| | kernel | twin |',
      '|---|---|---|',
      ...rows,
    ].join('\n'),
  )
}
