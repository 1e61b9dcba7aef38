import { buildReport } from '../../src/report/build-report.js'
import type { Report } from '../../src/report/report.js'
import { lanternStreet } from './fixture.js'

/** Names that try to be markup, scripts, terminal commands, or to turn the direction of writing. */
export const HOSTILE = [
  '</script><script>alert(1)</script>',
  '"><img src=x onerror=alert(1)>',
  "' onmouseover='alert(1)",
  '<!--',
  ']]>',
  '&lt;b&gt;',
  '\u202Egnp.exe',
  '\u2066isolate\u2069',
  '\u001B[31mred\u001B[0m\u0007',
  'line\nbreak\r\ttab',
  '\uFEFF\u200Bnothing',
  '\uD800 half',
  'שיר',
  '${7*7} {{7*7}} `x`',
]

// Few points: what is looked at here is text.
const SHORT_CLOSE_UPS = new Map(
  [...lanternStreet.closeUps].map(([group, closeUp]) => [
    group,
    {
      ...closeUp,
      traces: closeUp.traces.map(t => ({ ...t, before: t.before.slice(0, 9), after: t.after.slice(0, 9) })),
    },
  ]),
)
const SHORT_TONE = lanternStreet.tone.map(tone => ({
  ...tone,
  frequenciesHz: [100, 1000],
  before: { lossDb: [3, 6], levelDb: [0, -3] },
  after: { lossDb: [0, 1], levelDb: [0, -3] },
}))

/** The report with one text in every place where a name or a sentence of somebody else can stand. */
export const withText = (text: string): Report => {
  const { session, measurement } = lanternStreet
  const report = buildReport({
    ...lanternStreet,
    closeUps: SHORT_CLOSE_UPS,
    tone: SHORT_TONE,
    session: { ...session, song: text, take: text, recipeFile: `/x/${text.replace(/\//g, '')}` },
    measurement: {
      ...measurement,
      warnings: [{ code: 'HUM', group: text, source: text, message: text }],
    },
    neighbours: { ...lanternStreet.neighbours!, otherRates: [text] },
    tool: { version: text },
    made: { at: text },
  })
  const everywhere = (value: unknown, key: string): unknown => {
    if (Array.isArray(value)) return value.map(inner => everywhere(inner, key))
    if (value !== null && typeof value === 'object') {
      return Object.fromEntries(Object.entries(value).map(([k, inner]) => [k, everywhere(inner, k)]))
    }
    return [
      'name',
      'file',
      'source',
      'reason',
      'because',
      'words',
      'weightShown',
      'reference',
      'group',
      // of the neighbours: names in lists
      'stems',
      'groups',
      'otherRates',
    ].includes(key) && typeof value === 'string'
      ? text
      : value
  }
  return everywhere(report, '') as Report
}
