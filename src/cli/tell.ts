import { inkOf } from '../report/terminal/ink.js'
import type { Fault } from '../terms/fault.js'
import { faultText } from '../terms/fault-text.js'
import { wrapped } from '../terms/text-width.js'
import { visibleText } from '../terms/visible-text.js'
import type { Warning } from '../terms/warning.js'

const MOST_FAULTS = 50

/** How the stream looks to which something is told. */
export interface Page {
  readonly width: number
  readonly colour: boolean
}

/** All faults for people, an empty line between them; the first fifty and how many more. Empty for none. */
export const faultsText = (faults: readonly Fault[], page: Page): string => {
  const shown = faults.slice(0, MOST_FAULTS).map(f => faultText(f, page))
  const left = faults.length - shown.length
  if (left > 0) shown.push(`and ${left} more ${left === 1 ? 'fault' : 'faults'}`)
  return shown.map(text => `${text}\n`).join('\n')
}

/** A warning and the recipe that it is about, as the user wrote it. */
export type SongWarning = Warning & { readonly recipe: string }

/** One paragraph per warning: code, whose it is, what was seen and done. The recipe is told where there are several. Empty for none. */
export const warningsText = (warnings: readonly SongWarning[], page: Page): string => {
  const several = new Set(warnings.map(({ recipe }) => recipe)).size > 1
  return warnings.map(warning => `${warningLines(warning, several, page).join('\n')}\n`).join('')
}

const warningLines = (warning: SongWarning, several: boolean, { width, colour }: Page) => {
  const { code, group, source, message, recipe } = warning
  const whose = [several ? recipe : null, group, source].filter(name => name !== null).join('/')
  const lines = wrapped(visibleText(whose === '' ? message : `${whose}: ${message}`), width - 2)
  return [inkOf(colour).alert(code), ...lines.map(line => `  ${line}`)]
}
