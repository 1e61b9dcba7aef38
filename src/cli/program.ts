import { Command, InvalidArgumentError } from 'commander'
import type { ReportOptions } from './commands/report.js'
import type { SlateOptions } from './commands/slate.js'
import type { GivenOptions } from './options.js'
import { SLATE_DEPTHS, SLATE_RATES_HZ } from './slate-choices.js'

/** What the commands do. Each loads what it needs when it is called: `--help` loads nothing. */
export interface Actions {
  readonly check: Action
  readonly measure: Action
  readonly render: Action
  readonly report: (folders: readonly string[], options: ReportOptions) => Promise<void>
  readonly slate: (file: string, options: SlateOptions) => Promise<void>
}

type Action = (recipes: readonly string[], options: GivenOptions) => Promise<void>

/** The command line as a value: what is accepted, and the help that says so. */
export const programOf = (version: string, actions: Actions): Command => {
  const program = new Command('sumwell')
    .description(
      'Lines up, blends and prints the several recorded paths of one performance, from one recipe per song.',
    )
    .usage('<command> [options]')
    .exitOverride()
    .showHelpAfterError('(sumwell --help tells what there is)')
    .version(version, '-V, --version', 'print the version')
    .helpOption('-h, --help', 'print this help')
    .helpCommand('help [command]', 'print the help of a command')
    .configureHelp({
      subcommandTerm: command => TERMS[command.name()] ?? `${command.name()} <recipe...>`,
    })
    .addHelpText('after', EXITS)

  const check = program
    .command('check')
    .summary('tell whether recipe and recordings are usable')
    .description(
      'Reads the recipe and every recording that it names, and tells what is wrong with either: every fault of the ' +
        'recipe with its line, and level, clipping, silence, DC and hum of each recording. Measures no lag, writes nothing.',
    )
  recipesAndOptions(check, actions.check)

  const measure = program
    .command('measure')
    .summary('tell how late each source is, which way round, how sure')
    .description(
      'Measures how late each source arrives against the reference of its group and whether it is inverted, each with a ' +
        'verdict: sure, unsure or unknown. Writes nothing.',
    )
  recipesAndOptions(measure, actions.measure)

  const render = program
    .command('render')
    .summary('line up, blend and print the stems, with a report')
    .description(
      'Measures, decides every move, then writes the stems, report.html and report.json into the folder of delivery. ' +
        'What is not sure stays as recorded. A file appears under its name only when it is whole.',
    )
    .option('--dry-run', 'print the plan and write nothing')
    .option('--no-audio', 'leave the passages to listen to out of report.html')
  recipesAndOptions(render, actions.render)

  program
    .command('report')
    .summary('draw the page and the hand-off sheet of a delivery again')
    .description(
      'Draws report.html and handoff.md again from the report.json that a render left in a folder. The passages to listen to are kept ' +
        'from the page that is there. Measures nothing, touches no stem.',
    )
    .argument('<folder...>', 'one folder of delivery or several')
    .option('--no-audio', 'leave the passages to listen to out of report.html')
    .option('--quiet', 'tell only what went wrong')
    .option('--no-color', 'no colour; so does NO_COLOR in the environment')
    .action(actions.report)

  program
    .command('slate')
    .summary('write a test signal to play once through all paths')
    .description(
      'Writes a slate: 9 s of mono, a sweep from 40 Hz to 16 kHz at -20 dBFS and the same upside down. Played once through ' +
        'all paths, or at the head of a re-amped pass, it tells lag and polarity where the playing leaves them unsure. ' +
        'Start with everything turned down: loudspeakers and ears.',
    )
    .argument('<file>', 'WAVE file to write')
    .option('--rate <hz>', 'sample rate: 44100, 48000, 88200, 96000, 176400 or 192000', rateOf, 48000)
    .option('--depth <bits>', 'word length: 16, 24 or 32f', depthOf, 24)
    .option('--force', 'replace what stands under that name')
    .option('--quiet', 'tell only what went wrong')
    .option('--no-color', 'no colour; so does NO_COLOR in the environment')
    .action(actions.slate)
  return program
}

/** What a command takes, where it is not recipes. */
const TERMS: Readonly<Record<string, string>> = {
  help: 'help [command]',
  report: 'report <folder...>',
  slate: 'slate <file>',
}

/** The arguments and options that all commands on recipes share, and what is done with them. */
const recipesAndOptions = (command: Command, action: Action): void => {
  command
    .argument('<recipe...>', 'one recipe file or several')
    .optionsGroup('Common options:')
    .option('--json', 'one JSON document on stdout, and nothing else there')
    .option('--quiet', 'tell only what went wrong')
    .option('--jobs <n>', 'threads at most (default: one per core)', jobsOf)
    .option('--strict', 'exit with 4, and write nothing, if any verdict is not sure')
    .option('--allow-outside', "files may lie outside the recipe's folder tree")
    .option('--no-color', 'no colour; so does NO_COLOR in the environment')
    .action(action)
}

const MOST_JOBS = 256

const jobsOf = (text: string): number => {
  const jobs = Number(text)
  if (/^\d+$/.test(text) && jobs >= 1 && jobs <= MOST_JOBS) return jobs
  throw new InvalidArgumentError(`It takes a whole number from 1 to ${MOST_JOBS}.`)
}

const rateOf = (text: string): SlateOptions['rate'] => oneOf(SLATE_RATES_HZ, text)

const depthOf = (text: string): SlateOptions['depth'] => oneOf(SLATE_DEPTHS, text)

const oneOf = <Value extends string | number>(allowed: readonly Value[], text: string): Value => {
  const found = allowed.find(value => String(value) === text)
  if (found !== undefined) return found
  throw new InvalidArgumentError(`It takes one of ${allowed.join(', ')}.`)
}

const EXITS = `
Exit status:
  0    done
  1    the work failed (unreadable file, disk full, …)
  2    wrong command line
  3    a recipe is wrong
  4    --strict, and something is not sure
  130  interrupted; nothing half-written is left`
