/** One row of docs/evidence.md: what tests compared, and how it came out. */
export interface Row {
  /** What the tests call it (`noted`). */
  readonly about: string
  readonly what: string
  /**
   * Which figure is told of all that were noted: the one furthest from 0, the largest, their range, or only how many there were
   * (all of them 0).
   */
  readonly tell: 'furthest' | 'largest' | 'range' | 'count'
  readonly unit: string
  readonly decimals: number
  /** What the tests ask for. */
  readonly allowed: string
  /** Where the truth comes from. */
  readonly source: string
  /** The test file that compares. */
  readonly test: string
}

/** A claim of README (marked there by `<!-- evidence: NAME -->`) and what stands behind it. */
export interface Claim {
  readonly name: string
  readonly title: string
  readonly said: string
  readonly rows: readonly Row[]
}

const demo = 'test/end-to-end/demo-truth.test.ts'
const outside = (name: string): string => `test/outside/${name}.test.ts`

const lag: Claim = {
  name: 'lag',
  title: 'How late each path is, and which way round',
  said: 'Frames are those of the recordings: 1 frame at 48 kHz is 0.021 ms, or 7 mm of air. What more is known of hard cases, of real paths and of noise against the bound stands in [measuring.md](measuring.md), with tables that were measured over hours.',
  rows: [
    {
      ...{
        about: 'pair-lag',
        what: 'recordings of real instruments: our estimator against the same written again in Python',
      },
      ...{ tell: 'furthest', unit: 'frames', decimals: 6, allowed: '0.01', test: outside('second-opinion') },
      source: 'the formulas of measuring.md in NumPy and SciPy; CC0 recordings from the npm registry',
    },
    {
      ...{
        about: 'cc0-lag',
        what: 'the same recordings against the delay that was put in, where no filter is in the path',
      },
      ...{ tell: 'furthest', unit: 'frames', decimals: 4, allowed: '0.1', test: outside('second-opinion') },
      source: 'computed delay (phase of the spectrum)',
    },
    {
      ...{
        about: 'real-lag',
        what: 'CC0 recordings through models of loudspeaker, air, room and microphone, where the verdict is `sure`',
      },
      ...{
        tell: 'range',
        unit: 'ms',
        decimals: 3,
        allowed: '−0.1 … +0.2',
        test: 'test/measure/verdicts.test.ts',
      },
      source: 'the air path of the model; a loudspeaker adds its own group delay',
    },
    {
      ...{
        about: 'demo-lag',
        what: 'the demo song: measured lag less the length of air that its generator put in',
      },
      ...{ tell: 'range', unit: 'frames', decimals: 2, allowed: '−4.8 … +9.6', test: demo },
      source: 'the generator of the demo (truth.json)',
    },
    {
      ...{
        about: 'song-lag',
        what: 'the demo song from its recipe on: moves against those of the Python program',
      },
      ...{ tell: 'furthest', unit: 'frames', decimals: 6, allowed: '0.01', test: demo },
      source: '`test/outside/second-opinion/song.py`, written from docs/ with NumPy, SciPy and PyYAML',
    },
    {
      ...{
        about: 'bound-ratio',
        what: 'white noise in independent noise: rms error over the least that is possible',
      },
      ...{
        tell: 'range',
        unit: '',
        decimals: 2,
        allowed: '1.15, and three standard errors of few trials',
        test: 'test/measure/exactness.test.ts',
      },
      source: 'Cramér–Rao bound (Knapp & Carter 1976, from memory)',
    },
    {
      ...{ about: 'speed-of-sound', what: 'lag into distance: speed of sound at 0 to 35 °C' },
      ...{ tell: 'furthest', unit: 'm/s', decimals: 4, allowed: '0.015', test: outside('speed-of-sound') },
      source: 'ISO 9613-1 (from memory) beside the textbook form; dry air',
    },
  ],
}

const verdict: Claim = {
  name: 'verdict',
  title: 'How sure it is',
  said: 'A wrong `sure` is the worst that this program can do: a shift with the wrong sign can cancel more than none. Wider sets, of other seeds, are in [measuring.md](measuring.md).',
  rows: [
    {
      ...{
        about: 'wrongly-sure-hard',
        what: 'wrong `sure` among hard cases made to mislead (held notes, loops, bleed, echoes, unrelated tracks)',
      },
      ...{ tell: 'count', unit: '', decimals: 0, allowed: '0', test: 'test/measure/verdicts.test.ts' },
      source: 'the generator of the cases knows the truth',
    },
    {
      ...{
        about: 'wrongly-sure-real',
        what: 'wrong `sure` among recordings of instruments through models of real paths',
      },
      ...{ tell: 'count', unit: '', decimals: 0, allowed: '0', test: 'test/measure/verdicts.test.ts' },
      source: 'as above; CC0 recordings',
    },
  ],
}

const moves: Claim = {
  name: 'moves',
  title: 'Lines the paths up, and blends them',
  said: 'What is left when an aligned copy is taken away from the original, against the original. Lower is better.',
  rows: [
    {
      ...{
        about: 'shift-error',
        what: 'the filter that moves by a fraction of a frame, to 20 kHz, at six rates',
      },
      ...{
        tell: 'largest',
        unit: 'dB',
        decimals: 1,
        allowed: 'under −99',
        test: outside('fractional-delay'),
      },
      source: 'the exact shift, e^(−j2πfd)',
    },
    {
      ...{
        about: 'null-float',
        what: 'twelve tones, computed late and lined up through files, 32-bit float stems',
      },
      ...{ tell: 'largest', unit: 'dB', decimals: 1, allowed: 'under −99', test: outside('null-moves') },
      source: 'the formula of the tones: the late copy is computed, not filtered',
    },
    {
      ...{ about: 'null-24-bit', what: 'the same, inverted and early, 24-bit stems with dither' },
      ...{ tell: 'largest', unit: 'dB', decimals: 1, allowed: 'under −99', test: outside('null-moves') },
      source: 'as above',
    },
    {
      ...{ about: 'null-follow', what: 'a sound under a drift of 20 ppm, followed' },
      ...{ tell: 'largest', unit: 'dB', decimals: 1, allowed: 'under −110', test: outside('null-follow') },
      source: 'as above',
    },
    {
      ...{ about: 'song-stems', what: 'the demo song: every stem less the same made in Python, to 20 kHz' },
      ...{ tell: 'largest', unit: 'dB', decimals: 1, allowed: 'under −90', test: demo },
      source:
        '`song.py`: whole-file spectra turned by the exact phase, BS.1770 loudness, gains and ceiling from the documents',
    },
    {
      ...{ about: 'dither-noise', what: 'noise of dither and rounding at 16 and 24 bit, against theory' },
      ...{ tell: 'furthest', unit: 'dB', decimals: 3, allowed: '0.06', test: outside('dither') },
      source: 'Wannamaker, Lipshitz, Vanderkooy & Wright 2000',
    },
  ],
}

const tone: Claim = {
  name: 'tone',
  title: 'Shows what that did to the tone',
  said: 'Loss, level and notch, as predicted from cross-spectra, against what they are.',
  rows: [
    {
      ...{
        about: 'comb-loss',
        what: 'worked examples of comb filters: loss at a frequency, of semitones, through a high-pass',
      },
      ...{ tell: 'furthest', unit: 'dB', decimals: 5, allowed: '0.001', test: outside('comb') },
      source: '|1 + g e^(−j2πfτ)|, to four places by another program',
    },
    {
      ...{ about: 'comb-notch', what: 'the first notch of a copy that is late by 0.1 to 10 ms' },
      ...{ tell: 'furthest', unit: '%', decimals: 3, allowed: '0.14', test: outside('comb') },
      source: '1 / 2τ',
    },
    {
      ...{
        about: 'cc0-tone',
        what: 'recordings of real instruments: third octaves of the written blend less the prediction',
      },
      ...{ tell: 'largest', unit: 'dB', decimals: 4, allowed: '0.02', test: outside('comb-recordings') },
      source: 'a filter bank that knows nothing of the prediction; CC0 recordings',
    },
    {
      ...{
        about: 'third-octave-class-1',
        what: 'limits of the filter bank itself: bands and skirts within class 1',
      },
      ...{ tell: 'count', unit: '', decimals: 0, allowed: 'none outside', test: outside('third-octave') },
      source: 'IEC 61260-1 (from memory)',
    },
    {
      ...{ about: 'demo-tone', what: 'the demo song: the same check, blend by blend' },
      ...{ tell: 'largest', unit: 'dB', decimals: 4, allowed: '0.1', test: demo },
      source: 'as above',
    },
    {
      ...{
        about: 'song-tone',
        what: 'the demo song: curves of loss and level, before and after, against the Python program',
      },
      ...{ tell: 'largest', unit: 'dB', decimals: 3, allowed: '0.05', test: demo },
      source: '`song.py`; the report rounds to 0.01 dB',
    },
    {
      ...{
        about: 'song-written',
        what: 'the demo song: level over frequency of the written blends, seen by the Python program',
      },
      ...{ tell: 'largest', unit: 'dB', decimals: 3, allowed: '0.05', test: demo },
      source: 'as above; the stems themselves, not a prediction of them',
    },
  ],
}

const files: Claim = {
  name: 'files',
  title: 'Checks the files, and writes files that others read',
  said: 'Every sample is compared, and the time stamp and texts where the program tells them.',
  rows: [
    ...(['ffmpeg', 'sox', 'libsndfile', 'scipy'] as const).map(
      (name): Row => ({
        ...{
          about: `stems-read-by-${name}`,
          what: `our stems, read by ${name === 'scipy' ? 'SciPy' : name}: 16, 24, 32 bit and float, 1 to 6 channels, RIFF and RF64`,
        },
        ...{
          tell: 'count',
          unit: '',
          decimals: 0,
          allowed: 'no sample differs',
          test: outside('wave-read-by-others'),
        },
        source: name === 'scipy' ? 'SciPy' : name,
      }),
    ),
    ...(['ffmpeg', 'sox', 'libsndfile', 'python'] as const).map(
      (name): Row => ({
        ...{
          about: `${name}-files-read`,
          what: `files written by ${name === 'python' ? 'SciPy and Python’s wave module' : name}, read by us`,
        },
        ...{
          tell: 'count',
          unit: '',
          decimals: 0,
          allowed: 'no sample differs',
          test: outside('wave-written-by-others'),
        },
        source: name === 'python' ? 'SciPy, Python' : name,
      }),
    ),
    {
      ...{ about: 'ebu-loudness', what: 'integrated loudness, cases 1 to 6' },
      ...{ tell: 'furthest', unit: 'LU', decimals: 3, allowed: '0.1', test: outside('loudness') },
      source: 'EBU Tech 3341',
    },
    {
      ...{ about: 'ebu-range', what: 'loudness range' },
      ...{
        tell: 'furthest',
        unit: 'LU',
        decimals: 3,
        allowed: '0.2 (the document: 1)',
        test: outside('loudness-range'),
      },
      source: 'EBU Tech 3342',
    },
    {
      ...{ about: 'ffmpeg-loudness', what: 'integrated, momentary and short-term loudness of made sounds' },
      ...{ tell: 'furthest', unit: 'LU', decimals: 3, allowed: '0.05', test: outside('loudness') },
      source: 'ffmpeg, filter `ebur128` (prints tenths or hundredths)',
    },
    {
      ...{
        about: 'ebu-true-peak',
        what: 'true peak, cases 15 to 19, at three rates, 4 and 8 points a frame',
      },
      ...{ tell: 'range', unit: 'dB', decimals: 3, allowed: '−0.4 … +0.2', test: outside('true-peak') },
      source: 'EBU Tech 3341, table 1',
    },
    {
      ...{
        about: 'true-peak-under-read',
        what: 'largest under-read of a peak between the points, against theory',
      },
      ...{ tell: 'furthest', unit: 'dB', decimals: 3, allowed: '0.04', test: outside('true-peak') },
      source: 'ITU-R BS.1770, annex 2 (from memory)',
    },
  ],
}

const again: Claim = {
  name: 'again',
  title: 'The same again',
  said: 'The same recipe and recordings give the same bytes on every machine: the sums are kept with the source and compared wherever the tests run.',
  rows: [
    {
      ...{
        about: 'demo-bytes',
        what: 'stems of the demo song whose checksum differs from the list that is kept',
      },
      ...{ tell: 'count', unit: '', decimals: 0, allowed: '0', test: demo },
      source: 'SHA-256, `examples/lantern-street/checksums.txt`',
    },
  ],
}

const unharmed: Claim = {
  name: 'unharmed',
  title: 'Recordings are only read',
  said: 'Killed at 50 random moments, on a full disk, with recordings that change under its hands: `test/render/never-harm.test.ts`, `test/render/killed-render.test.ts` and `test/end-to-end/never-harm.test.ts` compare every byte.',
  rows: [
    {
      ...{ about: 'recordings-unchanged', what: 'recordings of the demo song that a whole render changed' },
      ...{ tell: 'count', unit: '', decimals: 0, allowed: '0', test: demo },
      source: 'SHA-256 before and after',
    },
  ],
}

const network: Claim = {
  name: 'network',
  title: 'No network',
  said: 'Every way to the network that the engine offers is replaced by one that writes down that it was asked, in the program and in each of its threads, while the demo song is rendered.',
  rows: [
    {
      ...{ about: 'no-network', what: 'threads of a render, and what they asked of the network' },
      ...{ tell: 'count', unit: '', decimals: 0, allowed: 'nothing', test: demo },
      source: 'the engine’s own doors: sockets, names, datagrams, fetch',
    },
  ],
}

export const claims: readonly Claim[] = [lag, verdict, moves, tone, files, again, unharmed, network]
