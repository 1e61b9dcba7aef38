import { join } from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'
import { openSource } from '../../src/wave/source-reader.js'
import { delayed, through } from '../corpus/spectrum.js'
import { samplesOf, stemFile } from '../render/setting/takes.js'
import {
  levelDb,
  type MadeSong,
  makeSong,
  newSongFolder,
  path,
  planSong,
  played,
  RATE,
  withinBand,
  write,
} from './setting.js'

const SECONDS = 9
/** The punch-in is heard from 4 s to 6.5 s; its files were rolling half a second longer to both sides. */
const [IN, OUT] = [4 * RATE, 6.5 * RATE]
const [ROLLED, STOPPED] = [IN - RATE / 2, OUT + RATE / 2]
/** The stand before, and after it was moved: 19.7 frames are 14 cm. */
const [LAG, MOVED] = [95.31, 115.01]

const sound = played('take', SECONDS)
const direct = path(sound, 0, 'direct')
const mic = path(sound, LAG, 'mic')
const micMoved = path(sound, MOVED, 'mic moved')

const recipe = (sources: string, more = ''): string =>
  `recipe: 1\nsong: Pieces\ngroups:\n  bass:\n    reference: direct\n    sources:\n${sources}    blends:\n      bass: { parts: { direct: 0 dB, mic: 0 dB } }\n${more}deliver: { folder: stems, depth: 32f }\n`
const PUNCHED_BOTH = recipe(
  '      direct: { pieces: [direct.wav, { file: direct-punch.wav, at: 0:04, from: 0.5 s, to: 0:03 }] }\n' +
    '      mic: { via: mic, pieces: [mic.wav, { file: mic-punch.wav, at: 0:04, from: 0.5 s, to: 0:03 }] }\n',
)

const writeTakes = (folder: string): void => {
  write(folder, 'direct.wav', [direct])
  write(folder, 'mic.wav', [mic])
  write(folder, 'direct-punch.wav', [direct.subarray(ROLLED, STOPPED)])
  write(folder, 'mic-punch.wav', [micMoved.subarray(ROLLED, STOPPED)])
}

/** Level of what two sounds differ by in a stretch, within the band of the filters that move them; against the second. */
const difference = (a: Float64Array, b: Float64Array, from: number, to: number): number => {
  const left = withinBand(a.map((v, i) => v - b[i]!))
  return levelDb(left.subarray(from, to)) - levelDb(b.subarray(from, to))
}

describe('a punch-in after a moved stand', () => {
  let made: MadeSong
  let folder = ''
  beforeAll(async () => {
    folder = newSongFolder()
    writeTakes(folder)
    made = await makeSong(folder, PUNCHED_BOTH)
  })

  test('each piece is measured for itself, to what its noise allows', () => {
    const [, source] = made.measurement.groups[0]!.sources
    expect(source!.pieces!.map(p => [p.piece, p.referencePiece, p.verdict, p.polarity])).toEqual([
      [1, 1, 'sure', 'normal'],
      [2, 2, 'sure', 'normal'],
    ])
    const [take, punch] = source!.pieces!
    expect(take!.stretches).toEqual([
      { startFrame: 0, endFrame: IN },
      { startFrame: OUT, endFrame: SECONDS * RATE },
    ])
    // Three times the uncertainty that is told, and that is a small part of a frame.
    for (const [piece, lag] of [
      [take!, LAG],
      [punch!, MOVED],
    ] as const) {
      expect(piece.lagUncertaintySamples!).toBeLessThan(0.05)
      expect(Math.abs(piece.lagSamples! - lag)).toBeLessThan(Math.max(0.02, 3 * piece.lagUncertaintySamples!))
    }
    expect(source).toMatchObject({ verdict: 'sure', lagSamples: take!.lagSamples })
    expect(made.measurement.warnings.map(({ code, source: name }) => [code, name])).toEqual([
      ['PIECE_MOVED', 'mic'],
    ])
    expect(made.measurement.warnings[0]!.message).toMatch(
      /^Piece 2 \(mic-punch\.wav, at 0:04\) arrives 0\.41 ms later \(14\.1 cm of air\) than piece 1/,
    )
  })

  test('the plan moves each by its own lag', () => {
    const { move } = made.plan.sources[1]!
    expect(move.pieces!.map(({ fromFrame }) => fromFrame)).toEqual([0, IN, OUT])
    expect(move.pieces!.map(({ shiftSamples }) => Math.round(10 * shiftSamples) / 10)).toEqual([
      -95.3, -115, -95.3,
    ])
    expect(move.because).toMatch(/^piece 1 late by 1\.98\d ms, sure; piece 2 late by 2\.39\d ms, sure$/)
  })

  test('the blend is that of a take during which nothing was moved', async () => {
    const still = newSongFolder()
    write(still, 'direct.wav', [direct])
    write(still, 'mic.wav', [mic])
    const whole = await makeSong(
      still,
      recipe('      direct: direct.wav\n      mic: { file: mic.wav, via: mic }\n'),
    )
    const [pieces, one] = [made, whole].map(({ plan }) => samplesOf(stemFile(plan, 'bass'))[0]!)
    expect(pieces!.length).toBe(one!.length)
    // What is left is the difference of two lags that were measured each to a few thousandths of a frame (2 pi f / rate times that: -60 dB
    // at 2 kHz for 4 of them), and in the punch-in the noise of another take of the microphone.
    const fade = 0.02 * RATE
    expect(difference(pieces!, one!, 1000, IN - fade)).toBeLessThan(-60)
    expect(difference(pieces!, one!, IN + fade, OUT - fade)).toBeLessThan(-55)
    expect(difference(pieces!, one!, OUT + fade, SECONDS * RATE - 2000)).toBeLessThan(-60)
    // As recorded it is far from that: the moved stand combs.
    const asRecorded = direct.map((v, i) => v + (i >= IN && i < OUT ? micMoved[i]! : mic[i]!))
    expect(difference(asRecorded, one!, IN + fade, OUT - fade)).toBeGreaterThan(-10)
  })
})

describe('one path punched alone', () => {
  test('its pieces are measured against the reference that went on, and the others as ever', async () => {
    const folder = newSongFolder()
    write(folder, 'direct.wav', [direct])
    write(folder, 'room.wav', [path(sound, 300.5, 'room')])
    write(folder, 'mic.wav', [mic.map((v, i) => (i > IN && i < OUT ? 0 : v))])
    write(folder, 'mic-punch.wav', [micMoved.subarray(IN, OUT)])
    const { measurement } = await planSong(
      folder,
      recipe(
        '      direct: direct.wav\n      mic: { pieces: [mic.wav, { file: mic-punch.wav, at: 0:04 }] }\n      room: room.wav\n',
      ),
    )
    const [, close, room] = measurement.groups[0]!.sources
    expect(close!.pieces!.map(p => [p.piece, p.referencePiece, p.verdict])).toEqual([
      [1, null, 'sure'],
      [2, null, 'sure'],
    ])
    expect(close!.pieces![0]!.lagSamples).toBeCloseTo(LAG, 1)
    expect(close!.pieces![1]!.lagSamples).toBeCloseTo(MOVED, 1)
    expect(room).toMatchObject({ verdict: 'sure' })
    expect(room!.pieces).toBeUndefined()
    expect(room!.lagSamples).toBeCloseTo(300.5, 1)
  })
})

describe('a punch-in that was patched the other way round', () => {
  test('is turned over, and it alone', async () => {
    const folder = newSongFolder()
    write(folder, 'direct.wav', [direct])
    write(folder, 'mic.wav', [mic])
    write(folder, 'mic-punch.wav', [path(sound, MOVED, 'turned', 1e-5, -1).subarray(ROLLED, STOPPED)])
    const { measurement, plan } = await makeSong(
      folder,
      recipe(
        '      direct: direct.wav\n      mic: { pieces: [mic.wav, { file: mic-punch.wav, at: 0:04, from: 0.5 s, to: 0:03 }] }\n',
      ),
    )
    const [, source] = measurement.groups[0]!.sources
    expect(source!.pieces!.map(({ polarity, verdict }) => [polarity, verdict])).toEqual([
      ['normal', 'sure'],
      ['inverted', 'sure'],
    ])
    expect(
      plan.stems.find(({ name }) => name === 'bass_mic')!.parts[0]!.runs!.map(({ sign }) => sign),
    ).toEqual([1, -1, 1])
    const stem = samplesOf(stemFile(plan, 'bass_mic'))[0]!
    const fade = 0.02 * RATE
    expect(difference(stem, direct, IN + fade, OUT - fade)).toBeLessThan(-50)
    expect(difference(stem, direct, OUT + fade, SECONDS * RATE - 2000)).toBeLessThan(-50)
  })
})

describe('groups in groups', () => {
  test('a group whose reference was punched is moved piece by piece in the group that holds it', async () => {
    const folder = newSongFolder()
    const rolled = (sound_: Float64Array): Float64Array => sound_.subarray(ROLLED, STOPPED)
    const kit = path(sound, 0, 'overhead')
    write(folder, 'over.wav', [kit])
    // The kick's own microphones keep their distance; the stand of both is moved against the overhead.
    write(folder, 'in.wav', [path(sound, 40.2, 'in')])
    write(folder, 'out.wav', [path(sound, 61.5, 'out')])
    write(folder, 'in-punch.wav', [rolled(path(sound, 55.7, 'in punch'))])
    write(folder, 'out-punch.wav', [rolled(path(sound, 77, 'out punch'))])
    const punched = (name: string): string =>
      `{ pieces: [${name}.wav, { file: ${name}-punch.wav, at: 0:04, from: 0.5 s, to: 0:03 }] }`
    const { measurement, plan } = await planSong(
      folder,
      `recipe: 1\nsong: Kit\ngroups:\n  kick:\n    reference: in\n    sources:\n      in: ${punched('in')}\n      out: ${punched('out')}\n  kit:\n    reference: over\n    sources:\n      over: over.wav\n      kick: { group: kick }\ndeliver: { folder: stems }\n`,
    )
    const lags = measurement.groups.map(({ sources }) =>
      sources[1]!.pieces!.map(({ lagSamples, verdict }) => [Math.round(10 * lagSamples!) / 10, verdict]),
    )
    expect(lags).toEqual([
      [
        [21.3, 'sure'],
        [21.3, 'sure'],
      ],
      [
        [40.2, 'sure'],
        [55.7, 'sure'],
      ],
    ])
    const shifts = plan.sources.map(({ key, move }) => [
      key,
      (move.pieces ?? [move]).map(({ shiftSamples }) => Math.round(10 * shiftSamples) / 10),
    ])
    expect(shifts).toEqual([
      ['kick/in', [-40.2, -55.7, -40.2]],
      ['kick/out', [-61.5, -77, -61.5]],
      ['kit/over', [0]],
    ])
  })
})

describe('whole-frame moves', () => {
  test('keep the bits of each piece, and cross-fade between', async () => {
    const folder = newSongFolder()
    write(folder, 'direct.wav', [direct], { depth: 24 })
    write(folder, 'mic.wav', [mic], { depth: 24 })
    write(folder, 'mic-punch.wav', [micMoved.subarray(ROLLED, STOPPED)], { depth: 24 })
    const { plan } = await makeSong(
      folder,
      recipe(
        '      direct: direct.wav\n      mic: { pieces: [mic.wav, { file: mic-punch.wav, at: 0:04, from: 0.5 s, to: 0:03 }] }\n',
        '    align: { resolution: sample }\n',
      ).replace('depth: 32f', 'depth: 24'),
    )
    const stem = samplesOf(stemFile(plan, 'bass_mic'))[0]!
    const files = ['mic.wav', 'mic-punch.wav'].map(name => samplesOf(join(folder, name))[0]!)
    const same = (from: number, to: number, file: Float64Array, offset: number): number => {
      let equal = 0
      for (let i = from; i < to; i++) if (stem[i] === file[i + offset]) equal++
      return equal
    }
    expect(plan.stems.find(({ name }) => name === 'bass_mic')!.dither).toBe(false)
    const [before, within] = [-95, -115]
    const firstFade = IN + within
    // The file begins and ends loud: but for the 5 ms in which it fades.
    expect(same(240, firstFade, files[0]!, -before)).toBe(firstFade - 240)
    expect(same(firstFade + 480, OUT + within - 480, files[1]!, -within - ROLLED)).toBe(OUT - IN - 960)
    const end = SECONDS * RATE + before - 240
    expect(same(OUT + within, end, files[0]!, -before)).toBe(end - OUT - within)
  })
})

describe('joints', () => {
  /** Largest sample of what lies above 5 kHz: a low note has nothing there, a click has. dBFS. */
  const clickDb = (samples: Float64Array, from: number, to: number): number => {
    const high = through(samples, RATE, 4800, hz => [
      hz < 4000 ? 0 : hz > 6000 ? 1 : (1 - Math.cos((Math.PI * (hz - 4000)) / 2000)) / 2,
      0,
    ])
    return 20 * Math.log10(high.subarray(from, to).reduce((most, v) => Math.max(most, Math.abs(v)), 1e-15))
  }

  test('make no click, moved or not, and leave no gap', async () => {
    const folder = newSongFolder()
    const sine = Float64Array.from(
      { length: 4 * RATE },
      (_, n) => 0.5 * Math.sin((2 * Math.PI * 110 * n) / RATE),
    )
    write(folder, 'direct.wav', [sine])
    write(folder, 'one.wav', [sine.subarray(0, 2.5 * RATE)])
    write(folder, 'two.wav', [delayed(sine, 33.3).subarray(1.5 * RATE)])
    const lag = (text: string): string =>
      recipe(
        `      direct: direct.wav\n      mic: { lag: ${text}, pieces: [{ file: one.wav, to: 0:02 }, { file: two.wav, at: 0:02, from: 0.5 s }] }\n`,
      )
    const [from, to] = [1.8 * RATE, 2.2 * RATE]
    for (const text of ['as-recorded', '0.4 ms', '20 samples']) {
      const { plan } = await makeSong(folder, lag(text))
      const stem = samplesOf(stemFile(plan, 'bass_mic'))[0]!
      expect(clickDb(stem, from, to)).toBeLessThan(-90)
      expect(levelDb(stem.subarray(from, to))).toBeGreaterThan(-9.1 - 1)
    }
    // What the measure makes of a joint without a cross-fade: it does hear clicks.
    const { plan } = await makeSong(folder, lag('as-recorded').replace('pieces:', 'fade: 0 ms, pieces:'))
    expect(clickDb(samplesOf(stemFile(plan, 'bass_mic'))[0]!, from, to)).toBeGreaterThan(-60)
  })

  test('a file that was split is one sound again, to the last bit, and through a filter too', async () => {
    const folder = newSongFolder()
    write(folder, 'direct.wav', [direct])
    write(folder, 'mic.wav', [mic])
    write(folder, 'mic-1.wav', [mic.subarray(0, 5 * RATE)])
    write(folder, 'mic-2.wav', [mic.subarray(5 * RATE)])
    const halves = { pieces: '{ pieces: [mic-1.wav, { file: mic-2.wav, at: 0:05 }], lag: 1.98 ms }' }
    const parts = await makeSong(folder, recipe(`      direct: direct.wav\n      mic: ${halves.pieces}\n`))
    const fromParts = samplesOf(stemFile(parts.plan, 'bass_mic'))[0]!
    const whole = await makeSong(
      folder,
      recipe('      direct: direct.wav\n      mic: { file: mic.wav, lag: 1.98 ms }\n'),
    )
    const fromWhole = samplesOf(stemFile(whole.plan, 'bass_mic'))[0]!
    expect(fromParts.length).toBe(fromWhole.length)
    expect(fromParts.findIndex((v, i) => v !== fromWhole[i])).toBe(-1)
    const [, source] = parts.session.groups[0]!.sources
    if (source?.kind !== 'file') throw new Error('no file')
    const reader = openSource(source.file, source.selection)
    const read = [new Float64Array(SECONDS * RATE)]
    reader.read(0, read)
    reader.close()
    const original = samplesOf(join(folder, 'mic.wav'))[0]!
    expect(read[0]!.findIndex((v, i) => v !== original[i])).toBe(-1)
  })
})
