import { describe, expect, it } from 'vitest'
import { plainMarkdown } from '../../src/report/handoff/markdown.js'
import { handoffOf } from '../../src/report/handoff-of.js'
import { lanternReport } from './fixture.js'

const sheet = handoffOf(lanternReport())

describe('the hand-off sheet', () => {
  it('has every stem with its checksum', () => {
    const { stems } = lanternReport()
    expect(stems).toHaveLength(12)
    for (const stem of stems) {
      expect(sheet).toContain(`## \`${stem.file}\`\n`)
      expect(sheet).toContain(`SHA-256: ${stem.sha256!}`)
    }
  })

  it('tells each move in ms, frames and beats, the polarity and the gain in all', () => {
    // 368.2 frames at 48 kHz are 7.671 ms; at 92 BPM that is 0.0118 beats; 0.3 is −10.5 dB.
    expect(sheet).toContain('| room | -9 dB | −10.5 dB | inverted | −7.671 | −368.20 | −0.0118 |')
    expect(sheet).toContain('| piezo | 55 | −6.7 dB | as recorded | 0.000 | 0.00 | 0.0000 |')
  })

  it('tells start, length, depth and levels', () => {
    expect(sheet).toContain(
      '24 bit, 48000 Hz, mono, TPDF dither. Length 0:30.000 (1440000 frames). Start 09:50:00.000',
    )
    expect(sheet).toContain('Sample peak −4.2 dBFS, true peak −3.9 dBTP, loudness −21.4 LUFS.')
  })

  it('says how each moved source is put back, and nothing of those that stay', () => {
    // The opposite of −95.31 and −368.20 frames, in ms at 48 kHz; the room is turned over again.
    expect(sheet).toContain('Back to the sound as recorded: move it +95.31 frames (+1.986 ms).')
    expect(sheet).toContain(
      'Back to the sound as recorded: move it +368.20 frames (+7.671 ms) and invert it.',
    )
    expect(sheet.match(/^Back to the sound as recorded/gm)).toHaveLength(4)
  })

  it('names the recommendation that it follows, with what holds for these stems', () => {
    expect(sheet).toContain('AESTD1002.2.15-02): broadcast WAVE files, 48000 Hz, 24 bit')
  })

  it('leaves the beats out without a tempo, and says where to place stems without a stamp', () => {
    const report = lanternReport()
    const bare = handoffOf({
      ...report,
      tempoBpm: null,
      delivery: { ...report.delivery, stampSamples: null },
    })
    expect(bare).toContain('| −368.20 |\n')
    expect(bare).not.toContain('beats')
    expect(bare).toContain('no time stamp: place them at zero')
  })

  it('names cannot become markup', () => {
    const hostile = '<b>*x*</b> [a](javascript:1) `c` | # \u202E'
    const report = lanternReport()
    const text = handoffOf({
      ...report,
      song: hostile,
      stems: report.stems.map(s => ({ ...s, group: hostile })),
    })
    expect(text).toContain(plainMarkdown(hostile))
    expect(text.replace(/\\./g, '').replace(/`[\w.-]+`/g, '')).not.toMatch(/[<`]|\]\(/)
    expect(text).not.toContain('\u202E')
  })
})
