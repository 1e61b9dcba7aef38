import { spawn } from 'node:child_process'
import { once } from 'node:events'
import fs from 'node:fs'
import path from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, test } from 'vitest'
import { CHECKSUM_LIST } from '../../src/render/checksum-list.js'
import { renderPlan } from '../../src/render/render-plan.js'
import { blend, group } from '../decide/setting/song.js'
import { noise } from '../signal/signals.js'
import { contentsOf, newFolder, planFor, renderFor, take, tasks } from './setting/takes.js'

const script = fileURLToPath(new URL('setting/stopped-render.ts', import.meta.url))

const killAt = async (planFile: string, place: string): Promise<void> => {
  const child = spawn(process.execPath, ['--import', 'tsx', script, planFile, place], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  const [said] = (await once(child.stdout, 'data')) as [Buffer]
  expect(String(said)).toBe(`${place}\n`)
  child.kill('SIGKILL')
  await once(child, 'exit')
}

// Two stems of four blocks each; while the stems are made each file is renamed once inside the workshop (rename 0 and 1), and so are the new list of
// checksums and a note of the former one (2 and 3). Then the former list goes (4), both stems are put in place (5 and 6), and the new list (7).
test('a render that is killed leaves every stem old or new, whole; the next run is clean', async () => {
  const places = ['block 0', 'block 5', 'rename 0', 'rename 4', 'rename 5', 'rename 6', 'rename 7', 'done']
  const newStems = new Map([
    ['rename 6', 1],
    ['rename 7', 2],
    ['done', 2],
  ])
  await Promise.all(
    places.map(async place => {
      const folder = newFolder()
      const out = path.join(folder, 'out')
      const groups = (seed: string) => [
        group('g', [take(folder, 'ref', [noise(seed, 100_000, 0.3)], {})], {
          blends: [blend('mix', { ref: 50 })],
        }),
      ]
      await renderFor(groups('former'), { folder: out })
      const former = contentsOf(out)
      const plan = await planFor(groups('new'), { folder: out })
      const recordings = contentsOf(folder)
      fs.writeFileSync(path.join(folder, 'plan.json'), JSON.stringify(plan))

      await killAt(path.join(folder, 'plan.json'), place)

      const after = contentsOf(out)
      const complete = fs.existsSync(path.join(out, CHECKSUM_LIST))
      expect([place, complete]).toEqual([place, !['rename 5', 'rename 6', 'rename 7'].includes(place)])
      await renderPlan(plan, tasks)
      const renewed = contentsOf(out)
      const names = plan.stems.map(stem => stem.fileName)
      expect(names).toHaveLength(2)
      let changed = 0
      for (const name of names) {
        expect([former[name], renewed[name]]).toContain(after[name])
        if (after[name] === renewed[name]) changed++
      }
      expect([place, changed]).toEqual([place, newStems.get(place) ?? 0])
      // nothing is left in sight but the hold and the workshop, and they are gone after the next run
      const rest = Object.keys(after).filter(name => !names.includes(name))
      const noted = /rename [4-7]/.test(place) ? ['.sumwell-former-sums'] : []
      expect(rest).toEqual(place === 'done' ? [] : ['.sumwell-busy', ...noted, '.sumwell-workshop'])
      expect(Object.keys(renewed).sort()).toEqual([...names].sort())
      fs.rmSync(path.join(folder, 'plan.json'))
      expect(contentsOf(folder)).toEqual(recordings)
    }),
  )
})
