import { availableParallelism } from 'node:os'
import { silentProgress } from '../jobs/progress.js'
import type { Fault, SumwellError } from '../terms/fault.js'
import { asSumwellError } from '../terms/internal.js'
import { documentText } from './document.js'
import { exitStatusOf } from './exit-status.js'
import { listenForInterrupt } from './interrupt.js'
import type { Options } from './options.js'
import { progressBar, type VisibleProgress } from './progress/bar.js'
import { plainProgress } from './progress/plain-lines.js'
import { songsProgress } from './progress/songs-progress.js'
import { faultsText, type Page, type SongWarning, warningsText } from './tell.js'
import { type Terminal, terminalOf } from './terminal.js'

/** What a command is given to work with. */
export interface Run {
  readonly progress: VisibleProgress
  readonly signal: AbortSignal
  readonly jobs: number
  /** The faults of whatever was thrown. With SUMWELL_DEBUG its stack is told too. */
  readonly faultsOf: (error: unknown, doing: string) => readonly Fault[]
}

/** What a command has found or done. It may hold results and faults at once: of several songs one may have failed. */
export interface Outcome {
  /** The songs as they stand in the JSON document. */
  readonly songs: readonly unknown[]
  /** What stands in the place of `songs` in a document that is not about songs. */
  readonly fields?: Readonly<Record<string, unknown>>
  /** The same for people; an empty text prints nothing. */
  text(page: Page): string
  /** Told on stderr, and in the document. */
  readonly warnings: readonly SongWarning[]
  /** Warnings that the text for people holds already. */
  readonly warningsInText: boolean
  readonly faults: readonly Fault[]
}

const nothingDone = (faults: readonly Fault[]): Outcome => ({
  songs: [],
  text: () => '',
  warnings: [],
  warningsInText: true,
  faults,
})

/**
 * The frame around every command on recipes: streams, progress, interruption, results to stdout, the rest to stderr, exit status.
 * Nothing that `work` throws gets past it.
 */
export const runCommand = async (options: Options, work: (run: Run) => Promise<Outcome>): Promise<void> => {
  const out = terminalOf(process.stdout, !options.color)
  const err = terminalOf(process.stderr, !options.color)
  const progress = progressOn(err, options.quiet)
  const interrupt = listenForInterrupt(() => {
    progress.hide()
    if (!options.quiet) err.write(HEARD)
  })
  const faultsOf = (error: unknown, doing: string): readonly Fault[] => {
    const known = asSumwellError(error, doing)
    progress.hide()
    if (process.env['SUMWELL_DEBUG']) err.write(`${stacksOf(known)}\n`)
    return known.faults
  }
  const jobs = options.jobs ?? availableParallelism()
  const outcome = await work({ progress, signal: interrupt.signal, jobs, faultsOf }).catch((error: unknown) =>
    nothingDone(faultsOf(error, 'running the command')),
  )
  progress.end()
  interrupt.release()
  const codes = outcome.faults.map(f => f.code)
  try {
    tell(outcome, options, out, err)
  } catch (error) {
    const faults = faultsOf(error, 'telling the result')
    err.write(faultsText(faults, pageOf(err)))
    codes.push(...faults.map(f => f.code))
  }
  process.exitCode = exitStatusOf(codes)
}

const pageOf = (terminal: Terminal): Page => ({ width: terminal.width(), colour: terminal.colour })

const HEARD =
  'Stopping: work in hand is broken off and unfinished files are taken away. Once more ends at once.\n'

const progressOn = (err: Terminal, quiet: boolean): VisibleProgress => {
  if (quiet)
    return {
      ...silentProgress,
      hide: () => undefined,
      songs: (works, writes) => songsProgress(works, writes, () => undefined),
    }
  return err.isTerminal && process.env['TERM'] !== 'dumb' ? progressBar(err) : plainProgress(err)
}

const tell = (outcome: Outcome, options: Options, out: Terminal, err: Terminal): void => {
  const { songs, fields, warnings, faults } = outcome
  if (options.json) out.write(documentText({ songs, fields, warnings, faults }))
  else if (!options.quiet) out.write(outcome.text(pageOf(out)))
  const warningsAreSeen = outcome.warningsInText && !options.json
  if (!options.quiet && !warningsAreSeen) err.write(warningsText(warnings, pageOf(err)))
  err.write(faultsText(faults, pageOf(err)))
}

const stacksOf = (error: SumwellError): string => {
  const causes: string[] = []
  for (let e: unknown = error; e instanceof Error; e = e.cause) causes.push(e.stack ?? e.message)
  return causes.join('\n')
}
