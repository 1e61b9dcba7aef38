import type { RobustArea, RobustCase, RobustOutcome } from './case.js'

const LONGEST_SENTENCE = 230

const cell = (text: string): string =>
  text
    .replace(/\s+/g, ' ')
    .replace(/[|<>*_`\\]/g, sign => `\\${sign}`)
    .trim()

const shortened = (text: string): string =>
  text.length <= LONGEST_SENTENCE ? text : `${text.slice(0, LONGEST_SENTENCE).replace(/\s+\S*$/, '')} …`

/** The line of a case on the page, from what it really said. */
export const rowOf = (one: RobustCase, { said, exit }: Pick<RobustOutcome, 'said' | 'exit'>): string =>
  `${beginningOf(one)}${cell(shortened(said))} | ${String(exit)} |`

const HEAD = `# Bad input, and what is said

Every line of these tables is a test: the built command is given the input, and what it said, its exit status and what it left on the disk are looked
at. None prints a stack trace, none changes a recording, none leaves a half-written file, none takes longer than a minute and a half on a busy
machine. The page is written from what the tests saw (\`npm run docs:robustness\`); a test fails where it says something else.

What a recipe can have wrong in it, fault by fault, is in [faults.md](faults.md); what a hostile file is fed to besides, in
[security.md](security.md#fuzzing). In the calls \`song.yaml\` is a good recipe with two recordings in \`audio\`, apart from what the first column says.
`

/** How the line of a case begins, whatever is said. */
export const beginningOf = (one: RobustCase): string =>
  `| ${cell(one.what)} | \`${one.call.replaceAll('|', '\\|')}\` | `

/** Figures that a better method may measure otherwise do not make the page stale; words and exit status do. */
export const withoutFigures = (row: string): string => {
  const [what = '', call = '', said = '', ...rest] = row.split(/(?<!\\)\|/).slice(1)
  return [what, call, said.replace(/[−+-]?\d+(\.\d+)?/g, '#'), ...rest].join('|')
}

/** The whole page; a row may be missing where this machine cannot run its case. */
export const robustnessPage = (areas: readonly RobustArea[], rows: ReadonlyMap<RobustCase, string>): string =>
  `${HEAD}${areas
    .map(
      ({ title, cases }) =>
        `\n## ${title}\n\n| input | call | what is said | exit |\n|---|---|---|---|\n${cases
          .map(one => `${rows.get(one) ?? ''}\n`)
          .join('')}`,
    )
    .join('')}`
