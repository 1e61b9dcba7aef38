import { expect, test } from 'vitest'
import type { WaveFacts } from '../../src/recipe/session.js'
import { load, MONO } from './recipe-room.js'

const WHOLE = `
recipe: 1
song: Lantern Street
take: 04
tempo: 92
temperature: 21 C
groups:
  kit:
    reference: overheads
    sources:
      overheads: over.wav
      kick: { group: kick, nudge: -1 ms }
  kick:
    reference: in
    sources: { in: { file: kick.wav, via: mic }, out: { file: out.wav, channel: 2, polarity: inverted } }
  upright-bass:
    reference: piezo
    sources:
      piezo:  { file: "audio/take-{take}/bass-piezo.wav", via: pickup }
      bridge: { file: "audio/{song}/bass-bridge.wav", via: mic, distance: 25 cm, lag: 2.1 ms }
      room:   { file: room.wav, distance: 8 ft, nudge: 3 ms, lag: 101 samples, channel: sum }
      kept:   { file: kept.wav, channel: left, lag: as-recorded, polarity: as-recorded }
    align:
      aim: fullness
      search: 0.5 s
      passage: [0:12-0:20, 0:00:20.5-0:0:22]
      hold: latest
      resolution: sample
      follow: drift
      slate: true
    blends:
      bass:       { parts: { piezo: 55, bridge: 45 } }
      bass-roomy: { parts: { piezo: 0 dB, bridge: -2 dB, room: -9.5 dB }, match: none }
      bass-raw:   { parts: { piezo: 1, bridge: 0 }, aligned: false, match: rms }
deliver:
  folder: "out/{song}-take{take}"
  depth: 32f
  stems: [bridge, kick/in]
  ceiling: -1.5 dBTP
  name: "{group}_{stem}"
report: { listen: 0:05-0:10, dated: true }
`
  .replace('0:0:22', '0:00:22')
  .trimStart()

const facts = (path: string): WaveFacts => ({
  ...MONO,
  channels: path.endsWith('over.wav') || path.endsWith('out.wav') || path.endsWith('room.wav') ? 2 : 1,
})

test('every key of the format arrives in the session, quantities as numbers', async () => {
  const session = await load(WHOLE, { facts })
  expect(session).toMatchObject({
    song: 'Lantern Street',
    take: '04',
    tempoBpm: 92,
    beatsInBar: 4,
    temperatureCelsius: 21,
  })
  const bass = session.groups.find(({ name }) => name === 'upright-bass')!
  expect(bass).toMatchObject({
    reference: 'piezo',
    sampleRateHz: 48000,
    align: {
      aim: 'fullness',
      searchSeconds: 0.5,
      passage: [
        { startSeconds: 12, endSeconds: 20 },
        { startSeconds: 20.5, endSeconds: 22 },
      ],
      hold: 'latest',
      resolution: 'sample',
      follow: 'drift',
      slate: true,
    },
    blends: [
      {
        name: 'bass',
        match: 'loudness',
        aligned: true,
        parts: [
          { source: 'piezo', kind: 'share', share: 0.55 },
          { source: 'bridge', kind: 'share', share: 0.45 },
        ],
      },
      {
        name: 'bass-roomy',
        match: 'none',
        aligned: true,
        parts: [
          { source: 'piezo', kind: 'gain', gainDb: 0 },
          { source: 'bridge', kind: 'gain', gainDb: -2 },
          { source: 'room', kind: 'gain', gainDb: -9.5 },
        ],
      },
      {
        name: 'bass-raw',
        match: 'rms',
        aligned: false,
        parts: [
          { source: 'piezo', kind: 'share', share: 1 },
          { source: 'bridge', kind: 'share', share: 0 },
        ],
      },
    ],
  })
  const [piezo, bridge, room, kept] = bass.sources
  expect(piezo).toEqual({
    kind: 'file',
    name: 'piezo',
    file: session.recipeFile.replace('song.yaml', 'audio/take-04/bass-piezo.wav'),
    fileShown: 'audio/take-04/bass-piezo.wav',
    via: 'pickup',
    selection: { kind: 'all' },
    slate: null,
    polarity: 'measured',
    lag: 'measured',
    nudgeSamples: 0,
    distanceMetres: null,
    facts: MONO,
  })
  // 2.1 ms at 48 kHz; the path keeps the song as typed
  expect(bridge).toMatchObject({
    lag: { samples: 100.8 },
    distanceMetres: 0.25,
    fileShown: 'audio/Lantern Street/bass-bridge.wav',
  })
  // 8 feet of 0.3048 m
  expect(room).toMatchObject({
    lag: { samples: 101 },
    nudgeSamples: 144,
    selection: { kind: 'mean' },
    via: null,
  })
  expect(room!.distanceMetres).toBeCloseTo(2.4384, 12)
  // the left channel of a mono file is the file
  expect(kept).toMatchObject({ lag: 'as-recorded', polarity: 'as-recorded', selection: { kind: 'all' } })
  expect(session.deliver).toEqual({
    folder: session.recipeFile.replace('song.yaml', 'out/lantern_street-take04'),
    depth: '32f',
    stems: [
      { group: 'upright-bass', source: 'bridge' },
      { group: 'kick', source: 'in' },
    ],
    ceilingDbtp: -1.5,
    nameTemplate: '{group}_{stem}',
    report: { listen: { startSeconds: 5, endSeconds: 10 }, dated: true },
  })
})

test('a group that is a source comes before the group that holds it, else the order is the recipe\u2019s', async () => {
  const session = await load(WHOLE, { facts })
  expect(session.groups.map(({ name }) => name)).toEqual(['kick', 'kit', 'upright-bass'])
  expect(session.groups[1]!.sources[1]).toEqual({
    kind: 'group',
    name: 'kick',
    group: 'kick',
    polarity: 'measured',
    lag: 'measured',
    nudgeSamples: -48,
    distanceMetres: null,
  })
  expect(session.groups[0]!.sources[1]).toMatchObject({
    selection: { kind: 'pick', index: 1 },
    polarity: 'inverted',
  })
})

const SHORT = 'recipe: 1\nsong: Short\ngroups: { a: { reference: p, sources: { p: p.wav, q: q.wav } } }\n'

test.each([
  ['3/4', 3],
  ['12/8', 12],
  ['"2/4"', 2],
])('a time signature of %s has %i beats in a bar', async (written, beats) => {
  expect((await load(`${SHORT}time-signature: ${written}\n`)).beatsInBar).toBe(beats)
})

test('what a recipe does not say has the default of the format', async () => {
  const session = await load(SHORT)
  expect(session).toMatchObject({ take: null, tempoBpm: null, beatsInBar: 4, temperatureCelsius: 20 })
  expect(session.groups[0]!.align).toEqual({
    aim: 'arrival',
    searchSeconds: 0.04,
    passage: null,
    hold: 'reference',
    resolution: 'fraction',
    follow: 'nothing',
    slate: false,
  })
  expect(session.groups[0]!.blends).toEqual([])
  expect(session.deliver).toEqual({
    folder: session.recipeFile.replace('song.yaml', 'stems/short'),
    depth: null,
    stems: 'all',
    ceilingDbtp: -1,
    nameTemplate: '{song}_{stem}',
    report: { listen: null, dated: false },
  })
})

test('the default folder names the take where there is one, and a take given outside wins over the recipe', async () => {
  const text = `${SHORT}take: 2\n`
  expect((await load(text)).deliver.folder).toMatch(/\/stems\/short-take2$/)
  const given = await load(text, { take: '7b' })
  expect(given.take).toBe('7b')
  expect(given.deliver.folder).toMatch(/\/stems\/short-take7b$/)
})

test('a group with a reamp is searched half a second far unless the recipe says otherwise', async () => {
  const reamp = SHORT.replace('q: q.wav', 'q: { file: q.wav, via: reamp, lag: 400 ms }')
  expect((await load(reamp)).groups[0]!.align.searchSeconds).toBe(0.5)
  const stated = reamp.replace('400 ms } }', '80 ms } }, align: { search: 90 ms }')
  expect((await load(stated)).groups[0]!.align.searchSeconds).toBe(0.09)
})

test.each([
  ['1e3', '1e3'],
  ['04', '04'],
  ['0x10', '0x10'],
  ['1e999', '1e999'],
  ['True', 'True'],
  ['no', 'no'],
  ['"null"', 'null'],
  ['1:30', '1:30'],
  ['.5', '.5'],
])('a song typed as %s keeps its text', async (typed, text) => {
  expect((await load(SHORT.replace('Short', typed))).song).toBe(text)
})

test('a song like ../x leads nowhere', async () => {
  const text = `recipe: 1
song: ../../x
take: /etc
groups: { a: { reference: p, sources: { p: "audio/{song}/{take}.wav" } } }
deliver: { folder: "out/{song}/{take}" }
`
  const session = await load(text)
  const folder = session.recipeFile.replace('/song.yaml', '')
  expect(session.deliver.folder).toBe(`${folder}/out/x/etc`)
  expect(session.groups[0]!.sources[0]).toMatchObject({ file: `${folder}/audio/_.._x/_etc.wav` })
})

test('the lag of a reference may be said to be none', async () => {
  for (const lag of ['measured', 'as-recorded', '0 ms', '0 samples']) {
    const text = SHORT.replace('p: p.wav', `p: { file: p.wav, lag: ${lag} }`)
    expect((await load(text)).groups).toHaveLength(1)
  }
})

test('different channels of one file are different sources', async () => {
  const both = SHORT.replace(
    'p: p.wav, q: q.wav',
    'p: { file: s.wav, channel: left }, q: { file: s.wav, channel: right }',
  )
  const session = await load(both, { facts: () => ({ ...MONO, channels: 2 }) })
  expect(session.groups[0]!.sources.map(source => source.kind === 'file' && source.selection)).toEqual([
    { kind: 'pick', index: 0 },
    { kind: 'pick', index: 1 },
  ])
})

test('one file may serve in several groups, and is looked at once', async () => {
  const text = SHORT.replace('groups: {', 'groups: { b: { reference: p, sources: { p: p.wav, r: r.wav } },')
  const looked: string[] = []
  const session = await load(text, {
    facts: path => {
      looked.push(path.slice(-5))
      return MONO
    },
  })
  expect(session.groups).toHaveLength(2)
  expect(looked.sort()).toEqual(['p.wav', 'q.wav', 'r.wav'])
})

test('groups nested three deep come out from the inside', async () => {
  const text = `recipe: 1
song: a
groups:
  outer: { reference: x, sources: { x: x.wav, m: { group: middle } } }
  middle: { reference: i, sources: { i: { group: inner }, y: y.wav }, align: { passage: 0:01-0:30 } }
  inner: { reference: z, sources: { z: z.wav } }
`
  expect((await load(text)).groups.map(({ name }) => name)).toEqual(['inner', 'middle', 'outer'])
})
