import { appendFileSync, mkdirSync } from 'node:fs'
import { join } from 'node:path'

/**
 * Notes one comparison that a test made, for docs/evidence.md (`npm run evidence`, which says by `SUMWELL_EVIDENCE` where to). In an
 * ordinary run it does nothing.
 *
 * @param about Which row of the page it belongs to.
 * @param figure How far off, or how low, in the unit of that row; 0 where something is simply as it should be.
 */
export const noted = (about: string, figure = 0): void => {
  const folder = process.env['SUMWELL_EVIDENCE']
  if (folder === undefined) return
  mkdirSync(folder, { recursive: true })
  appendFileSync(join(folder, about), `${figure}\n`)
}
