import { execFileSync } from 'node:child_process'
import fs from 'node:fs'
import path from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, test } from 'vitest'
import { holdFolder } from '../../src/render/folder-hold.js'
import { makeStems, renderPlan } from '../../src/render/render-plan.js'
import { wayOf } from '../../src/render/shared-parts.js'
import { sideBySide } from '../../src/render/side-by-side.js'
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

test('stems that are made side by side have the bytes of stems made one by one', async () => {
  const folder = newFolder()
  const follow = [
    { atSeconds: 0.2, shiftSamples: 1.5 },
    { atSeconds: 1, shiftSamples: 4.25 },
  ]
  const groups = [
    group(
      'g',
      [
        take(folder, 'ref', [noise('a', 70000, 0.3)]),
        take(folder, 'pair', [noise('b', 70000, 0.3), noise('c', 70000, 0.3)], {
          measured: { lagSamples: 3.31, polarity: 'inverted' },
        }),
        take(folder, 'early', [noise('d', 40000, 0.3)], { measured: { lagSamples: -40.7 } }),
      ],
      {
        blends: [
          blend('mix', { ref: 50, pair: 30, early: 20 }),
          blend('two', { ref: 50, early: 50 }),
          blend('raw', { ref: 50, early: 50 }, { aligned: false }),
        ],
      },
    ),
  ]
  const planned = await planFor(groups, { folder: path.join(folder, 'out') })
  const stems = planned.stems.map(stem => ({
    ...stem,
    parts: stem.parts.map(part => (part.key === 'g/early' && stem.aligned ? { ...part, follow } : part)),
  }))
  expect([1, 5, 64].map(threads => sideBySide(stems, threads).length)).toEqual([3, 4, 6])
  // Whatever a part's sound depends on keeps it apart from the others; its gains do not.
  const [stem] = stems
  const [part] = stem!.parts
  expect(wayOf({ ...part!, gain: -3, recordedGain: 2, matchGainDb: 1 }, stem!)).toBe(wayOf(part!, stem!))
  for (const other of [
    { runs: [] },
    { follow },
    { atSamples: 0.25 },
    { recordedAtSamples: 7 },
    { key: 'g/x' },
  ]) {
    expect(wayOf({ ...part!, ...other }, stem!)).not.toBe(wayOf(part!, stem!))
  }
  const hold = holdFolder(planned.folder)
  try {
    const sums: (readonly string[])[] = []
    for (const threads of [1, 5, 64]) {
      const { rendered } = await makeStems({ ...planned, stems }, tasks, hold, { threads })
      sums.push(rendered.map(({ sha256 }) => sha256))
    }
    expect(new Set(sums[0]).size).toBe(6)
    expect(sums[1]).toEqual(sums[0])
    expect(sums[2]).toEqual(sums[0])
  } finally {
    hold.release()
  }
})
