import { fault, SumwellError } from '../terms/fault.js'
import { NotPlain, readPlain } from '../terms/plain-file.js'
import { deskFault } from './desk/desk-fault.js'
import validate from './generated/report-validator.js'
import type { Report } from './report.js'

/** A report of a hundred sources with all its curves has some tens of MB. */
const MOST_BYTES = 512e6

/**
 * The report that lies in a file, checked against its schema: whatever is drawn from it is drawn from a report and nothing else.
 * @throws SumwellError REPORT_UNREADABLE
 */
export const readReport = (file: string): Report => {
  const value = parsed(file)
  if (validate(value)) {
    const report = value as Report
    const misfit = misfitOf(report)
    if (misfit !== null) throw unreadable(file, `this report does not hold together: ${misfit}`)
    return report
  }
  const format = typeof value === 'object' && value !== null && 'format' in value ? value.format : null
  if (typeof format === 'number' && format !== 1) {
    throw unreadable(file, `this report has format ${format}; this version reads format 1`)
  }
  const [first] = validate.errors ?? []
  const where = first?.instancePath ? ` at ${first.instancePath}` : ''
  throw unreadable(file, `this is no report of this version${where}: ${first?.message ?? 'wrong shape'}`)
}

/** The first thing that does not fit what it belongs to, in words. */
const misfitOf = ({ groups }: Report): string | null => {
  for (const { name, desk } of groups) {
    const found = desk === null ? null : deskFault(desk)
    if (found !== null) return `${name}: ${found}`
  }
  return null
}

const parsed = (file: string): unknown => {
  try {
    return JSON.parse(readPlain(file, MOST_BYTES).toString('utf8'))
  } catch (error) {
    if (error instanceof NotPlain) throw unreadable(file, `this ${error.message}`)
    if (error instanceof SyntaxError) throw unreadable(file, 'this file is no JSON')
    const missing = error instanceof Error && 'code' in error && error.code === 'ENOENT'
    throw unreadable(file, missing ? 'there is no report here' : 'the report cannot be read')
  }
}

const unreadable = (file: string, message: string): SumwellError =>
  new SumwellError(
    fault('REPORT_UNREADABLE', message, {
      file,
      expected: 'the report.json that a render leaves beside its stems',
      mend: 'name the folder of a delivery, or render again',
    }),
  )
