import { HtmlValidate } from 'html-validate'
import { describe, expect, test } from 'vitest'
import { worstOf } from '../../src/measure/verdict/worst-of.js'
import type { Album, AlbumSong } from '../../src/report/album/album.js'
import { albumPage } from '../../src/report/album/album-page.js'
import { changesSince } from '../../src/report/album/changes.js'
import { mergeAlbums } from '../../src/report/album/merge-albums.js'
import { SumwellError } from '../../src/terms/fault.js'

const song = (recipe: string, more: Partial<AlbumSong> = {}): AlbumSong => ({
  recipe,
  song: 'Lantern Street',
  take: '4',
  state: 'done',
  page: 'stems/report.html',
  reportJson: 'stems/report.json',
  groups: [
    {
      name: 'bass',
      verdict: 'unsure',
      sources: [
        { name: 'piezo', lagMs: 0, polarity: 'normal', verdict: 'sure' },
        { name: 'bridge', lagMs: 2.02, polarity: 'normal', verdict: 'unsure' },
      ],
    },
  ],
  stems: [{ name: 'bass', sha256: 'a'.repeat(64), loudnessLufs: -20 }],
  warnings: [],
  faults: [],
  changes: null,
  ...more,
})
const failed = (recipe: string): AlbumSong =>
  song(recipe, {
    state: 'failed',
    song: null,
    page: null,
    reportJson: null,
    groups: [],
    stems: [],
    faults: [{ code: 'RECIPE_SYNTAX', message: 'a bracket' }],
  })
const album = (songs: readonly AlbumSong[], shard: Album['shard'] = null): Album => ({
  format: 1,
  tool: { name: 'sumwell', version: '0' },
  made: { at: '2025-11-25T14:02:03.000Z' },
  shard,
  songs,
})

describe('what changed', () => {
  const before = song('a.yaml')
  const bridge = (more: object) => [
    {
      ...before.groups[0]!,
      sources: [before.groups[0]!.sources[0]!, { ...before.groups[0]!.sources[1]!, ...more }],
    },
  ]
  test.each([
    [{}, []],
    [{ take: '5' }, ['take 5 after take 4']],
    [{ groups: bridge({ lagMs: 1.95 }) }, ['bass/bridge arrives 0.070 ms earlier']],
    [{ groups: bridge({ lagMs: 2.0204 }) }, []],
    [{ groups: bridge({ polarity: 'inverted' }) }, ['bass/bridge is inverted, and was normal']],
    [{ groups: bridge({ verdict: 'sure' }) }, ['bass/bridge is sure, and was unsure']],
    [{ groups: [] }, ['bass/piezo is gone', 'bass/bridge is gone']],
    [{ stems: [] }, ['stem bass is no longer made']],
    [{ stems: [{ ...before.stems[0]!, sha256: 'b'.repeat(64) }] }, ['stem bass has other bytes']],
    [{ state: 'failed' as const }, ['failed, and was done before']],
  ])('%j', (more, told) => {
    expect(changesSince(before, song('a.yaml', more as Partial<AlbumSong>))).toEqual(told)
  })
  test('what failed before is told when it is done', () => {
    expect(changesSince(failed('a.yaml'), before)).toEqual(['is done now, and failed before'])
  })
})

test('the worst of verdicts', () => {
  expect([worstOf([]), worstOf(['sure', 'unsure']), worstOf(['unsure', 'unknown', 'sure'])]).toEqual([
    'sure',
    'unsure',
    'unknown',
  ])
})

describe('merging', () => {
  const part = (number: number, of: number, ...songs: AlbumSong[]) => ({
    file: `${number}.json`,
    album: album(songs, { number, of }),
  })
  const codes = (make: () => unknown): readonly string[] => {
    try {
      make()
      return []
    } catch (error) {
      return error instanceof SumwellError ? error.faults.map(f => f.message) : ['?']
    }
  }
  test('songs in the order of their recipes, whichever shard did them', () => {
    const whole = mergeAlbums([part(2, 2, song('a.yaml')), part(1, 2, song('c.yaml'), song('b.yaml'))], null)
    expect(whole.songs.map(s => s.recipe)).toEqual(['a.yaml', 'b.yaml', 'c.yaml'])
    expect(whole.shard).toBeNull()
  })
  test('a missing shard, one of another run and one given twice are told', () => {
    expect(codes(() => mergeAlbums([part(1, 3), part(3, 3)], null))).toEqual(['shard 2 of 3 is missing'])
    expect(codes(() => mergeAlbums([part(1, 2), part(2, 3)], null))[0]).toContain('it is one of 3 shards')
    expect(codes(() => mergeAlbums([part(1, 2, song('a')), part(2, 2, song('a'))], null))[0]).toContain(
      'stands in 1.json too',
    )
  })
})

describe('the page', () => {
  const hostile = song('x"><script>alert(1)</script>/r.yaml', {
    song: '<img src=x onerror=alert(1)>',
    page: 'javascript:alert(1)/..%2f/report.html',
    changes: ['<b>'],
    warnings: [{ code: 'HUM', group: '<i>', source: null, message: '\u202egnp' }],
  })
  const page = albumPage(album([song('a.yaml', { changes: [] }), failed('b.yaml'), song('c.yaml'), hostile]))

  test('is sound markup', async () => {
    const report = await new HtmlValidate({
      extends: ['html-validate:recommended'],
      rules: { 'doctype-style': 'off', 'no-trailing-whitespace': 'off' },
    }).validateString(page)
    expect(report.results.flatMap(r => r.messages.map(m => `${m.ruleId} ${m.message}`))).toEqual([])
  })
  test('runs nothing, loads nothing, and nothing in a name acts', () => {
    expect(page).toContain('default-src &#39;none&#39;')
    expect(page).toContain('script-src &#39;none&#39;')
    expect(page).not.toMatch(/<script|<img|javascript:/)
    expect(page).not.toContain('\u202e')
    expect(page.match(/(src|href)="[^"]*"/g)?.filter(link => !/href="(#|\.\/)/.test(link))).toEqual([])
    expect(page).toContain('href="./javascript%3Aalert(1)/..%252f/report.html"')
  })
  test('tells verdicts, failures, changes and the caution', () => {
    for (const words of [
      '4 songs, 1 failed',
      '1 of 2 unsure',
      'failed',
      'first run',
      'nothing',
      'start low',
      'RECIPE_SYNTAX',
    ])
      expect(page).toContain(words)
  })
})
