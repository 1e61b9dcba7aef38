import fs from 'node:fs'
import { describe, expect, test } from 'vitest'
import type { Plan } from '../../src/decide/plan.js'
import { stemInput } from '../../src/render/stem-input.js'
import { openMix } from '../../src/render/stem-mix.js'
import { songWords } from '../../src/render/stem-words.js'
import { renderTasks } from '../../src/render/tasks.js'
import { quietContext, type TaskContext } from '../../src/terms/task.js'
import { blend, group } from '../decide/setting/song.js'
import { openFiles } from '../wave/open-files.js'
import { newFolder, planFor, take } from './setting/takes.js'

/* Whatever reads recordings lets go of them: when it is done, when it is interrupted, and when one of them is no longer there. */

const wave = (frames: number, hz: number): Float64Array =>
  Float64Array.from({ length: frames }, (_, n) => 0.2 * Math.sin((2 * Math.PI * hz * n) / 48000))

const folder = newFolder()
const out = newFolder()
const planOf = (name: string): Promise<Plan> =>
  planFor(
    [
      group(
        'bass',
        [
          take(folder, `${name}-near`, [wave(9000, 110)]),
          take(folder, `${name}-far`, [wave(9000, 165)], { measured: { lagSamples: 24.5 } }),
        ],
        { blends: [blend('one', { [`${name}-near`]: 55, [`${name}-far`]: 45 })] },
      ),
    ],
    { folder: out },
  )

const aborted: TaskContext = { aborted: true, advance: () => undefined }

type Work = (plan: Plan, context: TaskContext) => unknown
const work: Readonly<Record<string, Work>> = {
  'making stems': (plan, context) =>
    renderTasks.renderStems(
      plan.stems.map((stem, i) => ({
        ...stemInput(plan, stem),
        words: songWords(plan),
        file: `${out}/made-${i}.wav`,
      })),
      context,
    ),
  'looking for peaks': (plan, context) => renderTasks.surveyStem(stemInput(plan, plan.stems[0]!), context),
}

describe.each(Object.entries(work))('%s', (name, run) => {
  test('leaves no file open', async () => {
    const plan = await planOf(name.replaceAll(' ', '-'))
    expect(plan.stems.some(stem => stem.parts.length > 1)).toBe(true)
    if (fs.existsSync('/proc/self/fd')) {
      const mix = openMix(plan.stems[0]!, plan.sources)
      expect(openFiles(folder).length).toBeGreaterThan(0)
      mix.close()
    }
    expect(openFiles(folder)).toEqual([])
    run(plan, quietContext)
    expect(openFiles(folder)).toEqual([])
    expect(() => run(plan, aborted)).toThrow(
      expect.objectContaining({ faults: [expect.objectContaining({ code: 'INTERRUPTED' })] }) as Error,
    )
    expect(openFiles(folder)).toEqual([])
    fs.rmSync(plan.sources[1]!.file)
    expect(() => run(plan, quietContext)).toThrow()
    expect(openFiles(folder)).toEqual([])
    expect(openFiles(out)).toEqual([])
  })
})
