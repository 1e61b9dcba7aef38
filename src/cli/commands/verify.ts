import { verifyDelivery } from '../../jobs/verify-delivery.js'
import { withPool } from '../../jobs/with-pool.js'
import { type Fault, fault } from '../../terms/fault.js'
import type { Verified } from '../../verify/verified.js'
import { type GivenOptions, optionsOf } from '../options.js'
import { runCommand } from '../run.js'
import { verifiedText } from '../verify-text.js'

export const verify = (folders: readonly string[], given: GivenOptions): Promise<void> => {
  const options = optionsOf(given)
  return runCommand(options, async run => {
    const done: Verified[] = []
    const faults: Fault[] = []
    await withPool(run, async pool => {
      for (const folder of folders) {
        try {
          done.push(await verifyDelivery(folder, pool, run.progress, { lags: options.lags }))
        } catch (error) {
          faults.push(...run.faultsOf(error, `verifying ${folder}`))
          if (run.signal.aborted) break
        }
      }
    })
    return {
      songs: [],
      fields: { folders: done },
      text: page => done.map(verified => verifiedText(verified, page)).join('\n'),
      warnings: [],
      warningsInText: true,
      faults: [...faults, ...done.flatMap(differenceFaults)],
    }
  })
}

const differenceFaults = ({ folder, differences }: Verified): readonly Fault[] =>
  differences.map(({ file, message }) =>
    fault('VERIFY_DIFFERS', message, {
      file: file === null ? folder : `${folder.replace(/\/$/, '')}/${file}`,
      mend: 'copy the delivery again, or render again; do not mix from it before',
    }),
  )
