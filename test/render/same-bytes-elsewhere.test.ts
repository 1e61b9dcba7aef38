import { execFileSync } from 'node:child_process'
import fs from 'node:fs'
import path from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, test } from 'vitest'
import { renderPlan } from '../../src/render/render-plan.js'
import { blend, group } from '../decide/setting/song.js'
import { noise } from '../signal/signals.js'
import { contentsOf, newFolder, planFor, take, tasks } from './setting/takes.js'

const script = fileURLToPath(new URL('setting/stopped-render.ts', import.meta.url))

test('another time zone, language, time of day and process: the same bytes', async () => {
  const folder = newFolder()
  const groups = [
    group(
      'g',
      [
        take(folder, 'ref', [noise('a', 50000, 0.3)], { stampSamples: 2246400000 }),
        take(folder, 'late', [noise('b', 50000, 0.3)], {
          stampSamples: 2246400000,
          measured: { lagSamples: 3.31, polarity: 'inverted' },
        }),
      ],
      { blends: [blend('mix', { ref: 55, late: 45 })] },
    ),
  ]
  const here = await planFor(groups, { folder: path.join(folder, 'here') })
  await renderPlan(here, tasks)
  const there = await planFor(groups, { folder: path.join(folder, 'there') })
  fs.writeFileSync(path.join(folder, 'plan.json'), JSON.stringify(there))
  execFileSync(process.execPath, ['--import', 'tsx', script, path.join(folder, 'plan.json'), 'nowhere'], {
    env: { ...process.env, TZ: 'Asia/Kathmandu', LC_ALL: 'tr_TR.UTF-8', LANG: 'tr_TR.UTF-8' },
    stdio: 'inherit',
  })
  const expected = contentsOf(path.join(folder, 'here'))
  expect(Object.keys(expected)).toHaveLength(3)
  expect(contentsOf(path.join(folder, 'there'))).toEqual(expected)
})
