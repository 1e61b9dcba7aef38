import { createHash } from 'node:crypto'
import { appendFileSync, readFileSync, truncateSync } from 'node:fs'
import { afterAll, describe, expect, it } from 'vitest'
import { scanSource } from '../../../src/measure/scan/scan-source.js'
import type { SourceScan } from '../../../src/measure/scan/source-scan.js'
import { SumwellError } from '../../../src/terms/fault.js'
import { quietContext } from '../../../src/terms/task.js'
import { noise, sine } from '../../signal/signals.js'
import { recordingFolder, waveBytes } from './recordings.js'

const rate = 48000
const folder = recordingFolder()
afterAll(() => {
  folder.remove()
})

const scan = (
  name: string,
  bits: 16 | 24,
  channels: readonly Float64Array[],
  selection: Parameters<typeof scanSource>[0]['selection'] = { kind: 'all' },
): SourceScan =>
  scanSource({ file: folder.write(name, waveBytes(rate, bits, channels)), selection }, quietContext)

const codes = ({ warnings }: SourceScan): string[] => warnings.map(warning => warning.code)

/** Notes of half a second with a rest after every third, over a noise floor of about -84 dBFS. */
const notes = (seconds: number): Float64Array => {
  const floor = noise('floor', seconds * rate, 0.0001)
  return floor.map((x, i) => {
    const time = i / rate
    const note = Math.floor(time / 0.5)
    const into = time - note * 0.5
    const resting = note % 6 >= 3
    const frequency = [82.41, 110, 146.83][note % 3]!
    return (
      x +
      (resting
        ? 0
        : 0.4 *
          Math.exp(-6 * into) *
          Math.sin(Math.PI * Math.min(1, into * 200) * 0.5) *
          Math.sin(2 * Math.PI * frequency * time))
    )
  })
}

describe('scanSource', () => {
  it('tells the levels of a sine that are known beforehand', () => {
    const tone = sine(997, rate, 4 * rate, { amplitude: 0.5, phase: 0.3 })
    const found = scan('sine.wav', 24, [tone])
    expect(found).toMatchObject({
      channels: 1,
      frames: 4 * rate,
      sampleRateHz: rate,
      clippedRuns: 0,
      silent: false,
      hum: null,
    })
    expect(found.rmsDbfs).toBeCloseTo(-9.031, 3)
    expect(found.samplePeakDbfs).toBeCloseTo(-6.021, 2)
    // The sine begins and ends abruptly: the true peak there lies a little above its top.
    expect(found.truePeakDbtp).toBeGreaterThan(-6.03)
    expect(found.truePeakDbtp).toBeLessThan(-5.4)
    expect(found.loudnessLufs).toBeCloseTo(-3.0103 - 6.0206, 2)
    expect(Math.abs(found.dcOffset)).toBeLessThan(1e-4)
    expect(found.sound).toEqual({ startSeconds: 0, endSeconds: 4 })
    expect(found.activity.levelsDbfs).toHaveLength(80)
    expect(found.warnings).toEqual([])
  })

  it('takes the checksum of the whole file, chunks behind the audio included', () => {
    const file = folder.write('tail.wav', waveBytes(rate, 16, [sine(440, rate, rate)]))
    appendFileSync(file, Buffer.from('note\x04\x00\x00\x00abcd', 'latin1'))
    const found = scanSource({ file, selection: { kind: 'all' } }, quietContext)
    expect(found.sha256).toBe(createHash('sha256').update(readFileSync(file)).digest('hex'))
  })

  it('looks at the selected channels only', () => {
    const left = sine(997, rate, rate, { amplitude: 0.5 })
    const right = sine(997, rate, rate, { amplitude: 0.05 }).map(x => x + 0.01)
    const both = scan('two.wav', 24, [left, right])
    expect(both.channels).toBe(2)
    expect(both.samplePeakDbfs).toBeCloseTo(-6.02, 2)
    expect(both.rmsDbfs).toBeCloseTo(10 * Math.log10((0.125 + 0.00135) / 2), 3)
    expect(both.dcOffset).toBeCloseTo(0.01, 4)
    const picked = scan('two.wav', 24, [left, right], { kind: 'pick', index: 1 })
    expect([picked.channels, picked.samplePeakDbfs]).toEqual([1, expect.closeTo(20 * Math.log10(0.06), 2)])
    const mean = scan('two.wav', 24, [left, right], { kind: 'mean' })
    expect(mean.samplePeakDbfs).toBeCloseTo(20 * Math.log10(0.28), 1)
    expect(codes(both)).toEqual(['DC_OFFSET'])
  })

  it('finds clipping, an offset, hum and lost samples in one recording and says what to do', () => {
    const hum = sine(60.02, rate, 12 * rate, { amplitude: 0.002 })
    const samples = notes(12).map((x, i) => x + hum[i]! + 0.004)
    for (let i = 0; i < 6; i++) samples.fill(0.99999988, 24_300 + i * 40, 24_305 + i * 40)
    samples.fill(0, 100_000, 100_064)
    samples[99_999] = 0.02
    samples[100_064] = 0.02
    const found = scan('ill.wav', 24, [samples])
    expect(codes(found)).toEqual(['CLIPPED', 'DC_OFFSET', 'HUM', 'DROPPED_SAMPLES'])
    expect(found.clippedRuns).toBe(6)
    expect(found.clips[0]).toMatchObject({ channel: 0, startFrame: 24_300, frames: 5 })
    expect(found.dcOffset).toBeCloseTo(0.004, 4)
    expect(found.hum?.frequencyHz).toBe(60)
    expect(found.hum?.levelDbfs).toBeCloseTo(20 * Math.log10(0.002 / Math.SQRT2), 0)
    expect(found.dropouts).toEqual([{ channel: 0, startFrame: 100_000, frames: 64, kind: 'zeros' }])
    for (const { group, source, message } of found.warnings) {
      expect([group, source]).toEqual([null, null])
      expect(message).toMatch(/\.$/)
    }
    const text = Object.fromEntries(found.warnings.map(({ code, message }) => [code, message]))
    expect(text['CLIPPED']).toMatch(/^Clipped in 6 places, first at 0:00\.506/)
    expect(text['HUM']).toMatch(
      /60 Hz at −5[67]\.\d dBFS.*ground lift.*Never defeat the mains safety earth.*licensed/,
    )
    expect(text['DROPPED_SAMPLES']).toMatch(/in 1 place, first at 0:02\.083: 64 frames of digital silence/)
    expect(text['DC_OFFSET']).toMatch(/0\.40 % of full scale \(−48\.0 dBFS\)/)
  })

  it('finds nothing wrong with a clean take', () => {
    const found = scan('clean.wav', 24, [notes(12)])
    expect(found.warnings).toEqual([])
    expect([found.hum, found.clippedRuns, found.droppedStretches]).toEqual([null, 0, 0])
  })

  it('knows silence, digital and with a noise floor', () => {
    const dead = scan('dead.wav', 24, [new Float64Array(rate)])
    expect(dead).toMatchObject({
      silent: true,
      loudnessLufs: null,
      rmsDbfs: null,
      samplePeakDbfs: null,
      truePeakDbtp: null,
      dcOffset: 0,
      sound: null,
    })
    expect(dead.warnings[0]!.message).toMatch(
      /^Nothing but digital silence: this source cannot be measured\./,
    )
    const hiss = scan('hiss.wav', 24, [noise('hiss', 2 * rate, 0.0002)])
    expect(hiss.silent).toBe(true)
    expect(hiss.rmsDbfs).toBeCloseTo(20 * Math.log10(0.0002 / Math.sqrt(3)), 1)
    expect(codes(hiss)).toEqual(['SILENT'])
    expect(scan('played.wav', 24, [notes(2)]).silent).toBe(false)
  })

  it.each([1, 2, 7, 100])('copes with a file of %i frames', frames => {
    const found = scan('short.wav', 16, [sine(1000, rate, frames, { amplitude: 0.5, phase: 1 })])
    expect(found.frames).toBe(frames)
    expect(found.loudnessLufs).toBeNull()
    expect(found.samplePeakDbfs).not.toBeNull()
    expect(found.hum).toBeNull()
  })

  it('tells the advance of the audio and stops when asked', () => {
    const file = folder.write('long.wav', waveBytes(rate, 16, [noise('long', 6 * rate, 0.1)]))
    let seconds = 0
    const context = {
      aborted: false,
      advance: (more: number) => {
        seconds += more
      },
    }
    scanSource({ file, selection: { kind: 'all' } }, context)
    expect(seconds).toBeCloseTo(6, 9)
    const stopping = {
      get aborted() {
        return seconds > 7
      },
      advance: context.advance,
    }
    expect(() => scanSource({ file, selection: { kind: 'all' } }, stopping)).toThrow(/interrupted/)
  })

  it('reads what is whole of a truncated file, and leaves the recording as it was', () => {
    const file = folder.write('cut.wav', waveBytes(rate, 24, [noise('cut', rate, 0.1)]))
    truncateSync(file, 44 + 3 * 30_000 + 1)
    const before = readFileSync(file)
    const found = scanSource({ file, selection: { kind: 'all' } }, quietContext)
    expect(found.frames).toBe(30_000)
    expect(readFileSync(file).equals(before)).toBe(true)
    expect(() => scanSource({ file: `${file}.missing`, selection: { kind: 'all' } }, quietContext)).toThrow(
      SumwellError,
    )
  })
})
