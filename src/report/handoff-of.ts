import { plainMarkdown } from './handoff/markdown.js'
import { stemSheet } from './handoff/stem-sheet.js'
import type { Report } from './report.js'
import { fixed, timeOfDay } from './words/figures.js'

/**
 * How the delivery keeps to an open recommendation: AESTD1002.2.15-02, "Recommendation for delivery of recorded music projects" (AES), and its sister,
 * the Delivery Recommendations for Recorded Music Projects of the Producers & Engineers Wing, for the naming.
 */
const conventions = (report: Report): readonly string[] => {
  const depths = [
    ...new Set(report.stems.map(({ depth }) => (depth === '32f' ? '32 bit float' : `${depth} bit`))),
  ]
  const rates = [...new Set(report.stems.map(({ sampleRateHz }) => `${sampleRateHz} Hz`))]
  return [
    `Conventions (after AESTD1002.2.15-02): broadcast WAVE files, ${rates.join(' and ')}, ${depths.join(' and ')}, not data-reduced; each one piece from`,
    'one common start to one common end; no effects, no limiting; words of a name joined by underscores, no spaces, signs or accents; what was done, levels and',
    'checksums in writing.',
  ]
}

const heading = (report: Report): readonly string[] => {
  const take = report.take === null ? '' : `, take ${plainMarkdown(report.take)}`
  const tempo = report.tempoBpm === null ? '' : ` Tempo ${report.tempoBpm} BPM.`
  const { stampSamples, stampRateHz, turnDownDb, ceilingDbtp } = report.delivery
  const start =
    stampSamples === null || stampRateHz === null
      ? 'They carry no time stamp: place them at zero.'
      : `They carry the time stamp ${timeOfDay(stampSamples, stampRateHz)}.`
  return [
    `# ${plainMarkdown(report.song)}${take}`,
    '',
    `${report.stems.length} stems. All start together and have the same length. ${start}${tempo}`,
    turnDownDb > 0
      ? `All blends were turned down by ${fixed(turnDownDb, 1)} dB so that none passes ${fixed(ceilingDbtp, 1)} dBTP. Nothing was limited.`
      : `No blend passes ${fixed(ceilingDbtp, 1)} dBTP. Nothing was turned down or limited.`,
    '',
    ...conventions(report),
    '',
    '- Engineer:',
    '- Telephone, mail:',
    '- Notes for the mix:',
    '',
    'A positive shift moves a source later. Gains are what was applied in all: weight, level match and turn-down. To put a single source back to',
    'the sound as recorded, move it by the opposite shift and turn its polarity again where it says "inverted"; each says how. A blend cannot be',
    'taken apart: go back to its single sources.',
    '',
    'Start low when you listen: parts that no longer cancel are louder.',
    '',
  ]
}

/**
 * `handoff.md`: the sheet that goes to the mix engineer with the stems, drawn from the report alone. Markdown; names from the recipe cannot
 * become markup. Contact lines are left open on purpose.
 */
export const handoffOf = (report: Report): string =>
  [...heading(report), ...report.stems.flatMap(stem => stemSheet(report, stem))].join('\n')
