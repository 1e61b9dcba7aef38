import { spawn } from 'node:child_process'
import { once } from 'node:events'
import fs from 'node:fs'
import { fileURLToPath } from 'node:url'
import { expect, test } from 'vitest'
import { writeWhole } from '../../src/wave/atomic-file.js'
import { removeLeftovers, temporaryName } from '../../src/wave/temporary-name.js'
import { openWave } from '../../src/wave/wave-file.js'
import { temporaryFolder } from './wave-bytes.js'

const folder = temporaryFolder()
const script = fileURLToPath(new URL('stopped-writer.ts', import.meta.url))
const parts = (where: string): string[] =>
  fs.readdirSync(folder.path(where)).filter(name => name.endsWith('.part'))

const killAt = async (path: string, place: string): Promise<void> => {
  const child = spawn(process.execPath, ['--import', 'tsx', script, path, place], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  const [said] = (await once(child.stdout, 'data')) as [Buffer]
  expect(String(said)).toBe(`${place}\n`)
  child.kill('SIGKILL')
  await once(child, 'exit')
}

test('a writer that is killed leaves the former file or the new one, whole, and its rest can be cleared away', async () => {
  const places = ['opened', 'half', 'all', 'committed']
  await Promise.all(
    places.map(async place => {
      fs.mkdirSync(folder.path(place))
      const path = folder.path(`${place}/stem.wav`)
      writeWhole(path, 'former')
      await killAt(path, place)
      if (place === 'committed') {
        const file = openWave(path)
        file.close()
        expect(file.facts.frames).toBe(100_000)
        expect(file.warnings).toEqual([])
        expect(parts(place)).toEqual([])
      } else {
        expect(fs.readFileSync(path, 'utf8')).toBe('former')
        expect(parts(place)).toHaveLength(1)
        expect(removeLeftovers(folder.path(place))).toHaveLength(1)
        expect(fs.readdirSync(folder.path(place))).toEqual(['stem.wav'])
      }
    }),
  )
})

test('only what is surely nobody’s is cleared away', () => {
  fs.mkdirSync(folder.path('mixed'))
  const mine = temporaryName('abc') // this process is alive
  const [, machine] = mine.split('-')
  const dead = `.sumwell-${machine}-999999999-abc.part`
  const others = [
    mine,
    `.sumwell-00000000-999999999-abc.part`,
    `.sumwell-${machine}-1-abc.part`,
    'x.part',
    'stem.wav',
  ]
  for (const name of [dead, ...others]) folder.put(`mixed/${name}`, [1])
  expect(removeLeftovers(folder.path('mixed'))).toEqual([folder.path(`mixed/${dead}`)])
  expect(fs.readdirSync(folder.path('mixed')).sort()).toEqual([...others].sort())
  expect(removeLeftovers(folder.path('nowhere'))).toEqual([])
})
