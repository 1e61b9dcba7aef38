import { visibleText } from '../report/visible-text.js'
import type { Fault } from '../terms/fault.js'
import { faultText } from '../terms/fault-text.js'
import type { Warning } from '../terms/warning.js'
import { tinted } from './colour.js'
import { wrapped } from './wrap.js'

const MOST_FAULTS = 50

/** All faults for people, an empty line between them; the first fifty and how many more. Empty for none. */
export const faultsText = (faults: readonly Fault[], colour: boolean): string => {
  const shown = faults.slice(0, MOST_FAULTS).map(f => headTinted(faultText(f), colour))
  const left = faults.length - shown.length
  if (left > 0) shown.push(`and ${left} more ${left === 1 ? 'fault' : 'faults'}`)
  return shown.map(text => `${text}\n`).join('\n')
}

// The first line holds place and code.
const headTinted = (text: string, colour: boolean): string => {
  const [head = '', ...rest] = text.split('\n')
  return [tinted(head, 'red', colour), ...rest].join('\n')
}

/** One paragraph per warning: code, group and source, what was seen and done. Empty for none. */
export const warningsText = (warnings: readonly Warning[], width: number, colour: boolean): string =>
  warnings.map(w => `${warningText(w, width, colour)}\n`).join('')

const warningText = ({ code, group, source, message }: Warning, width: number, colour: boolean): string => {
  const whose = [group, source].filter(name => name !== null).join('/')
  const text = wrapped(visibleText(`${code}  ${whose === '' ? '' : `${whose}: `}${message}`), width, '  ')
  return tinted(code, 'yellow', colour) + text.slice(code.length)
}
