import { cacheFolder } from '../../lock/cache/cache-folder.js'
import { cleanStore, storeSize } from '../../lock/cache/store.js'
import { counted } from '../../report/words/figures.js'
import { fault, SumwellError } from '../../terms/fault.js'
import { visibleText } from '../../terms/visible-text.js'
import { bytesText } from '../bytes-text.js'
import { optionsOf } from '../options.js'
import { runCommand } from '../run.js'

/** Options of `cache` as the command line leaves them. Without any, the size is told. */
export interface CacheOptions {
  readonly size?: true
  readonly clean?: true
  readonly json?: true
  readonly quiet?: true
  readonly color: boolean
}

export const cache = (given: CacheOptions): Promise<void> =>
  runCommand(optionsOf(given), () =>
    Promise.resolve().then(() => {
      const folder = cacheFolder(process.env)
      if (folder === null) throw nothingKept()
      if (given.clean === true) cleanStore(folder, 0)
      const { entries, bytes } = storeSize(folder)
      const what =
        given.clean === true ? 'cleaned' : `${counted(entries, 'entry', 'entries')}, ${bytesText(bytes)}`
      return {
        songs: [],
        fields: { folder, entries, bytes },
        text: () => `${visibleText(folder)}: ${what}\n`,
        warnings: [],
        warningsInText: true,
        faults: [],
      }
    }),
  )

const nothingKept = (): SumwellError =>
  new SumwellError(
    fault('USAGE_ARGUMENTS', 'SUMWELL_CACHE is empty: nothing is kept', {
      mend: 'unset it, or name a folder with it',
    }),
  )
