import { mkdirSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { compareDeliveries } from '../../../src/jobs/compare-deliveries.js'
import { redrawReport } from '../../../src/jobs/redraw-report.js'
import { comparedText } from '../../../src/report/terminal/compared-lines.js'
import { summaryText } from '../../../src/report/terminal/summary-text.js'
import { inProcess } from '../../../src/terms/task.js'
import { verifyTasks } from '../../../src/verify/tasks.js'
import { verifyFolder } from '../../../src/verify/verify-folder.js'
import { shortReport } from '../documents.js'
import { judged, playground } from '../judge.js'
import { mutatedBytes } from '../mutate-bytes.js'
import { mutatedJson } from '../mutate-json.js'
import type { Target } from '../target.js'

/** `sumwell report`, `compare` and `verify` on a report.json that somebody changed. */
export const reportTarget = (): Target => {
  const ground = playground()
  const delivery = join(ground.folder, 'delivery')
  const before = join(ground.folder, 'before')
  for (const folder of [delivery, before]) mkdirSync(folder)
  const seed = shortReport()
  const bytes = Buffer.from(JSON.stringify(seed))
  writeFileSync(join(before, 'report.json'), bytes)
  const look = async (): Promise<void> => {
    const { report } = redrawReport(delivery, { audio: true })
    summaryText(report, { columns: 80, colour: false, reportShown: 'report.html' })
    for (const [old, now] of [
      [before, delivery],
      [delivery, before],
    ] as const) {
      const { comparison } = compareDeliveries(old, now)
      comparedText(comparison, 'song', { columns: 80, colour: false })
    }
    await verifyFolder(delivery, inProcess(verifyTasks))
  }
  return {
    name: 'report',
    ending: 'json',
    share: 0.15,
    make: chance =>
      chance.once(8)
        ? mutatedBytes(bytes, chance, {
            within: 1e9,
            words: ['{', '}', '[', ']', ',', 'null', '"', '\\u0000', '-'],
            others: [bytes],
            mostChanges: chance.pick([1, 1, 2, 6]),
            mostBytes: 400_000,
          })
        : Buffer.from(JSON.stringify(mutatedJson(seed, chance, chance.pick([1, 1, 1, 3])))),
    try: async input => {
      writeFileSync(join(delivery, 'report.json'), input)
      try {
        const verdict = await judged(look)
        ground.expectOnly(['delivery', 'before'])
        return verdict
      } finally {
        rmSync(delivery, { recursive: true })
        mkdirSync(delivery)
      }
    },
    close: ground.remove,
  }
}
