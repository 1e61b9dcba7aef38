import { type Claim, demo, furthest, largest, outside, row } from '../claim.js'

export const moves: Claim = {
  name: 'moves',
  title: 'Lines the paths up, and blends them',
  said: 'What is left when an aligned copy is taken away from the original, against the original. Lower is better.',
  rows: [
    row(
      'shift-error',
      largest('dB', 1),
      'under −99',
      outside('fractional-delay'),
      'the filter that moves by a fraction of a frame, to 20 kHz, at six rates',
      'the exact shift, e^(−j2πfd)',
    ),
    row(
      'null-float',
      largest('dB', 1),
      'under −99',
      outside('null-moves'),
      'twelve tones, computed late and lined up through files, 32-bit float stems',
      'the formula of the tones: the late copy is computed, not filtered',
    ),
    row(
      'null-24-bit',
      largest('dB', 1),
      'under −99',
      outside('null-moves'),
      'the same, inverted and early, 24-bit stems with dither',
      'as above',
    ),
    row(
      'null-follow',
      largest('dB', 1),
      'under −110',
      outside('null-follow'),
      'a sound under a drift of 20 ppm, followed',
      'as above',
    ),
    row(
      'song-stems',
      largest('dB', 1),
      'under −90',
      demo,
      'the demo song: every stem less the same made in Python, to 20 kHz',
      '`song.py`: whole-file spectra turned by the exact phase, BS.1770 loudness, gains and ceiling from the documents',
    ),
    row(
      'dither-noise',
      furthest('dB', 3),
      '0.06',
      outside('dither'),
      'noise of dither and rounding at 16 and 24 bit, against theory',
      'Wannamaker, Lipshitz, Vanderkooy & Wright 2000',
    ),
  ],
}
