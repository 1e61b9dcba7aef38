import { compareDeliveries } from '../../jobs/compare-deliveries.js'
import type { ReadTake } from '../../lock/compare/read-take.js'
import { comparedText } from '../../report/terminal/compared-lines.js'
import type { Options } from '../options.js'
import { runCommand } from '../run.js'

export const compare = (before: string, now: string, options: Options): Promise<void> =>
  runCommand(options, () =>
    Promise.resolve().then(() => {
      const found = compareDeliveries(before, now)
      const about = ({ path, song, take }: ReadTake) => ({ path, song, take: take.take })
      return {
        songs: [{ old: about(found.before), new: about(found.now), comparison: found.comparison }],
        text: ({ width, colour }) =>
          comparedText(found.comparison, found.now.song, { columns: width, colour }),
        warnings: [],
        warningsInText: true,
        faults: [],
      }
    }),
  )
