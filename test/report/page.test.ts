import { createHash } from 'node:crypto'
import { HtmlValidate } from 'html-validate'
import { describe, expect, it } from 'vitest'
import { buildReport } from '../../src/report/build-report.js'
import { pageOf } from '../../src/report/page-of.js'
import { lanternReport, lanternStreet } from './fixture.js'

const page = pageOf(lanternReport())

const validator = new HtmlValidate({
  extends: ['html-validate:recommended'],
  rules: {
    // Opinions about style, not about right or wrong.
    'doctype-style': 'off',
    'no-trailing-whitespace': 'off',
    'long-title': 'off',
  },
})

describe('the page', () => {
  it('is clean HTML', async () => {
    const report = await validator.validateString(page)
    const messages = report.results.flatMap(r =>
      r.messages.map(m => `${m.line}:${m.column} ${m.ruleId} ${m.message}`),
    )
    expect(messages).toEqual([])
    expect(page.length).toBeGreaterThan(100_000)
  })

  it('allows its own style sheet and script by their hashes and nothing else', () => {
    const policy = /http-equiv="Content-Security-Policy" content="([^"]*)"/
      .exec(page)![1]!
      .replaceAll('&#39;', "'")
    const style = /<style>([^]*?)<\/style>/.exec(page)![1]!
    const script = /<script>([^]*?)<\/script>/.exec(page)![1]!
    const hashOf = (text: string): string => createHash('sha256').update(text, 'utf8').digest('base64')
    expect(policy).toBe(
      `default-src 'none'; style-src 'sha256-${hashOf(style)}'; script-src 'sha256-${hashOf(script)}'; base-uri 'none'; form-action 'none'`,
    )
  })

  it('asks for nothing outside itself', () => {
    expect(page).not.toMatch(/\s(src|srcset|poster|background)=/)
    expect(page).not.toMatch(/url\(|@import|<link|<iframe|<object|<embed/)
    const links = [...page.matchAll(/href="([^"]*)"/g)].map(match => match[1]!)
    expect(links.length).toBeGreaterThan(0)
    expect(links.every(link => link.startsWith('#'))).toBe(true)
  })

  it('has no number that is none, in words or in a drawing', () => {
    const drawn = page.replace(/<script[^]*<\/script>/, '')
    expect(drawn).not.toMatch(/NaN|Infinity|undefined|\[object/)
  })

  it('no id stands twice, and every label points to one', () => {
    const ids = [...page.matchAll(/\sid="([^"]*)"/g)].map(match => match[1]!)
    expect(new Set(ids).size).toBe(ids.length)
    const wanted = [...page.matchAll(/aria-labelledby="([^"]*)"/g)].flatMap(match => match[1]!.split(' '))
    expect(wanted.length).toBeGreaterThan(20)
    expect(wanted.filter(id => !ids.includes(id))).toEqual([])
  })

  it('says on its first screen what was wrong, what was done, how sure, and what to look at', () => {
    for (const words of [
      'bridge mic 1.99 ms late, 0.68 m: pulled forward',
      'the other way round: pulled forward, inverted',
      'sure of all 3 sources',
      'low end 60–250 Hz: +4.1 dB; first notch 251 Hz gone; evenness 5.2 → 0.8 dB',
      'Look here first',
      'Clipped once, at 0:17.3',
    ]) {
      expect(page.replaceAll('\u00A0', ' ')).toContain(words)
    }
  })

  it('stands without tone, close-ups, stems, stamp, take and time', async () => {
    const { session, plan } = lanternStreet
    const bare = buildReport({
      ...lanternStreet,
      session: { ...session, take: null, tempoBpm: null },
      plan: { ...plan, stems: [], turnDownDb: 0 },
      rendered: null,
      tone: [],
      closeUps: new Map(),
      listens: new Map(),
      desks: new Map(),
      made: { at: null },
      recipeSha256: null,
    })
    const text = pageOf(bare)
    expect(text.replace(/<script[^]*<\/script>/, '')).not.toMatch(/NaN|Infinity|undefined|null/)
    expect((await validator.validateString(text)).valid).toBe(true)
  })
})
