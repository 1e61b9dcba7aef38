import { type SelfCheck, selfCheck } from '../../jobs/self-check.js'
import { tool } from '../../jobs/tool.js'
import { visibleText } from '../../terms/visible-text.js'
import { bytesText } from '../bytes-text.js'
import { type GivenOptions, optionsOf } from '../options.js'
import { runCommand } from '../run.js'
import { tableLines } from '../table.js'

export const selfcheck = (folder: string, given: GivenOptions): Promise<void> =>
  runCommand(optionsOf(given), () => {
    const { check, faults } = selfCheck(folder)
    return Promise.resolve({
      songs: [],
      fields: { ...check },
      text: () => selfCheckText(check),
      warnings: [],
      warningsInText: true,
      faults,
    })
  })

const COLUMNS = [
  { title: '', align: 'left', dropOrder: 0 },
  { title: '', align: 'left', dropOrder: 0 },
] as const

/** What was found, a line each; ends with a line end. */
export const selfCheckText = ({ machine, folder }: SelfCheck): string => {
  const rows = [
    ['Sumwell', tool().version],
    ['Node', machine.node],
    ['system', `${machine.system}, ${machine.cores} ${machine.cores === 1 ? 'core' : 'cores'}`],
    ['memory', `${bytesText(machine.memoryBytes)}, ${bytesText(machine.freeMemoryBytes)} of it free`],
    [
      'arithmetic',
      machine.simd
        ? 'fast (WebAssembly SIMD), and right'
        : 'plain, and right: the same bits, several times slower',
    ],
    ['folder', visibleText(folder.path)],
    ['writing', folder.writable ? 'a file was written, replaced, read back and removed' : 'not possible'],
    ['room there', folder.freeBytes === null ? 'the disk does not tell' : bytesText(folder.freeBytes)],
    ['names there', folder.caseMatters === false ? 'Take.wav and take.wav are one file' : ''],
  ].filter(([, value]) => value !== '')
  return `${tableLines(COLUMNS, rows, Number.POSITIVE_INFINITY).slice(1).join('\n')}\n`
}
