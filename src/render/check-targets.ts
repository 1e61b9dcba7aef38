import fs from 'node:fs'
import type { Plan } from '../decide/plan.js'
import { filesOf } from '../recipe/session.js'
import { type Fault, fault, SumwellError } from '../terms/fault.js'
import { refuseOverSource } from '../wave/file-identity.js'
import { writeFault } from '../wave/write-faults.js'

/**
 * Looks at every place that will be written to, before anything is: none may be a source (by path, link or other spelling), a folder or
 * a device. All that is wrong is told at once.
 * @throws SumwellError WRITE_OVER_SOURCE, WRITE_FAILED
 */
export const checkTargets = (plan: Plan): void => {
  const sources = [...new Set(plan.sources.flatMap(filesOf))]
  const faults = plan.stems.flatMap((stem): readonly Fault[] => {
    try {
      refuseOverSource(stem.file, sources)
      return wrongKind(stem.file)
    } catch (error) {
      return writeFault(stem.file, error).faults
    }
  })
  if (faults.length > 0) throw new SumwellError(faults)
}

const wrongKind = (file: string): readonly Fault[] => {
  const there = fs.statSync(file, { throwIfNoEntry: false })
  if (there === undefined || there.isFile()) return []
  return [
    fault(
      'WRITE_FAILED',
      `${there.isDirectory() ? 'a folder' : 'a device or pipe'} of this name is in the way`,
      {
        file,
        mend: 'choose another `deliver.name`, or move it away',
      },
    ),
  ]
}
