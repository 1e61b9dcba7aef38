import path from 'node:path'
import { residualLags } from '../verify/residual-lags.js'
import type { Verified } from '../verify/verified.js'
import { verifyFolder } from '../verify/verify-folder.js'
import type { SongPool } from './open-pool.js'
import type { Progress } from './progress.js'

export interface VerifyWish {
  /** The stems are measured again. */
  readonly lags: boolean
}

/**
 * Holds a folder of delivery against what it says of itself; where wished, measures what is left of the lags. Reads only.
 * @throws SumwellError REPORT_UNREADABLE, WAVE_…, INTERRUPTED
 */
export const verifyDelivery = async (
  folder: string,
  pool: SongPool,
  progress: Progress,
  { lags }: VerifyWish,
): Promise<Verified> => {
  const { verified, report } = await verifyFolder(folder, pool.rooms.verify, known => {
    const seconds = known.stems.reduce((sum, stem) => sum + stem.seconds * (1 + stem.parts.length), 0)
    progress.stage({ song: known.song, doing: 'verifying', audioSeconds: seconds })
  })
  if (!lags || verified.stems.some(({ frames }) => frames === null)) return verified
  progress.stage({ song: report.song, doing: 'measuring', audioSeconds: null })
  const again = await residualLags(report, ({ file }) => path.join(folder, file), pool.rooms.measure)
  const left = again.differences.map(({ file, message }) => ({ file, message }))
  return { ...verified, lags: again.lags, differences: [...verified.differences, ...left] }
}
