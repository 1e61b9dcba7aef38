import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { embeddedJson } from '../../src/report/page/embedded-json.js'
import { escaped, html, trusted } from '../../src/report/page/markup.js'
import { pageOf } from '../../src/report/page-of.js'
import { summaryText } from '../../src/report/terminal/summary-text.js'
import { visibleText } from '../../src/terms/visible-text.js'
import { lanternReport } from './fixture.js'
import { HOSTILE, withText } from './hostile-report.js'

/** Tags of our own page, by name and number. */
const tagsOf = (page: string): ReadonlyMap<string, number> => {
  const counts = new Map<string, number>()
  const body = page.replace(/<script type="application\/json"[^>]*>.*?<\/script>/s, '')
  // What stands between backticks is set as code: an element without attributes, whose text is escaped like any other.
  for (const [, name] of body.replace(/<\/?code>/g, '').matchAll(/<(\/?[a-zA-Z!][a-zA-Z0-9-]*)/g))
    counts.set(name!, (counts.get(name!) ?? 0) + 1)
  return counts
}

describe('names that want to be markup', () => {
  const plain = tagsOf(pageOf(withText('plain')))

  it.each(HOSTILE)('%j makes no element, ends none, and stands there to be read', text => {
    const page = pageOf(withText(text))
    expect(tagsOf(page)).toEqual(plain)
    expect(page).toContain(escaped(text))
  })

  it.each(HOSTILE)('%j leaves no unseen character in the page outside the data', text => {
    const page = pageOf(withText(text)).replace(/<script type="application\/json".*<\/script>/s, '')
    expect(page.replace(/\n/g, '')).not.toMatch(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}]/u)
  })

  it('the data inside the page come back as they were, and cannot end their element', () => {
    for (const text of HOSTILE) {
      const report = withText(text)
      const data = /<script type="application\/json" id="report">(.*?)<\/script>/s.exec(pageOf(report))
      expect(data![1]).not.toContain('<')
      expect(JSON.parse(data![1]!)).toEqual(JSON.parse(JSON.stringify(report)))
    }
  })

  it('any text at all is inert in an element and in a quoted attribute', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), text => {
        const { text: made } = html`<b title="${text}">${text}</b>`
        const inside = made.slice('<b title="'.length, -'</b>'.length)
        expect(inside.match(/[<>"]/g)).toEqual(['"', '>'])
        expect(embeddedJson(text)).not.toContain('<')
        expect(JSON.parse(embeddedJson(text))).toBe(text)
      }),
      { seed: 7, numRuns: 500 },
    )
  })

  it('markup of our own passes, lists join, nothing is nothing', () => {
    expect(html`${trusted('<i>')}${['a', '<']}${null}${false}${undefined}${0}`.text).toBe('<i>a&lt;0')
  })
})

describe('names in a terminal', () => {
  it.each(HOSTILE)('%j cannot move the cursor, ring, or turn the direction', text => {
    const lines = summaryText(withText(text), { columns: 80, colour: false, reportShown: text })
    expect(lines.replace(/\n/g, '')).not.toMatch(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}]/u)
  })

  it('writes unseen characters out and leaves ordinary text alone', () => {
    expect(visibleText('a\u202Eb\u0000')).toBe('a[U+202E]b[U+0000]')
    expect(visibleText('Grüße שיר 歌 🎻')).toBe('Grüße שיר 歌 🎻')
    expect(lanternReport().song).toBe(visibleText(lanternReport().song))
  })
})
