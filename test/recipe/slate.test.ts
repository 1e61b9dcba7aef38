import { expect, test } from 'vitest'
import { everythingThere, faultsOf, load, MONO } from './recipe-room.js'

const recipe = (source: string, align = ''): string => `
recipe: 1
song: Slate
groups:
  bass:
    reference: piezo
    sources:
      piezo: piezo.wav
      room: { file: room.wav${source} }
${align}
`

test('a slate is named for the group, or as a file of a source', async () => {
  const session = await load(recipe(', slate: slates/room.wav', '    align: { slate: true }'))
  const [group] = session.groups
  expect(group!.align.slate).toBe(true)
  const [piezo, room] = group!.sources
  expect(piezo).toMatchObject({ slate: null })
  expect(room).toMatchObject({
    slate: { fileShown: 'slates/room.wav', selection: { kind: 'all' }, facts: MONO },
  })
  expect((await load(recipe('', '    align: { slate: false }'))).groups[0]!.align.slate).toBe(false)
})

test('the slate is taken from the channel of the source, or from a mono file', async () => {
  const stereo = { ...MONO, channels: 2 }
  const facts = (path: string) => (path.endsWith('piezo.wav') || path.endsWith('mono.wav') ? MONO : stereo)
  const slateOf = async (file: string) => {
    const { groups } = await load(recipe(`, channel: right, slate: ${file}`), { facts })
    const room = groups[0]!.sources[1]!
    return room.kind === 'file' ? room.slate?.selection : undefined
  }
  expect(await slateOf('both.wav')).toEqual({ kind: 'pick', index: 1 })
  expect(await slateOf('mono.wav')).toEqual({ kind: 'all' })
})

test('what is wrong with it is told at its place', async () => {
  const codes = async (text: string, trial: Parameters<typeof faultsOf>[1] = {}) =>
    (await faultsOf(text, trial)).map(({ code, place }) => [
      code,
      place!.sourceLine.slice(place!.column - 1, place!.column - 1 + place!.length),
    ])
  expect(await codes(recipe(', slate: ../slate.wav'))).toEqual([['RECIPE_OUTSIDE', '../slate.wav']])
  const files = {
    ...everythingThere,
    kindOf: (path: string) =>
      path.endsWith('gone.wav') ? ('missing' as const) : everythingThere.kindOf(path),
  }
  expect(await codes(recipe(', slate: gone.wav'), { files })).toEqual([['RECIPE_FILE_MISSING', 'gone.wav']])
  const other = (path: string) => (path.endsWith('slate.wav') ? { ...MONO, sampleRateHz: 44100 } : MONO)
  expect(await codes(recipe(', slate: slate.wav'), { facts: other })).toEqual([
    ['RECIPE_RATE_MISMATCH', 'slate.wav'],
  ])
  const lacking = (path: string) => ({
    ...MONO,
    channels: path.endsWith('slate.wav') ? 2 : path.endsWith('room.wav') ? 4 : 1,
  })
  expect(await codes(recipe(', channel: 3, slate: slate.wav'), { facts: lacking })).toEqual([
    ['RECIPE_CHANNEL', 'slate.wav'],
  ])
  expect(
    await codes(recipe('', '    align: { slate: true }'), {
      facts: () => ({ ...MONO, sampleRateHz: 32000 }),
    }),
  ).toEqual([['RECIPE_VALUE', 'true']])
  expect(await codes(recipe('', '    align: { slate: here.wav }'))).toEqual([['RECIPE_TYPE', 'here.wav']])
  expect(await codes(recipe(', slate: true'))).toEqual([['RECIPE_TYPE', 'true']])
})

test('no stem may be written over a slate', async () => {
  const files = {
    ...everythingThere,
    kindOf: (path: string) => (/\.\w+$/.test(path) ? ('file' as const) : ('folder' as const)),
    identityOf: (path: string) => path,
  }
  const faults = await faultsOf(`${recipe(', slate: slate_bass_room.wav')}deliver: { folder: "." }\n`, {
    files,
  })
  expect(faults.map(f => f.code)).toEqual(['RECIPE_TARGET_IS_SOURCE'])
  expect(faults[0]!.message).toContain('slate_bass_room.wav')
})
