/** Mutants that lived, looked at one by one: as the page lists them, without the number of the line, and why no test notices. */
const BECAUSE: Readonly<Record<string, string>> = {
  'src/tone/check/band-weights.ts relation: > → >=': 'the same: no bin lies at exactly eight times a middle',
  'src/tone/check/moved-power.ts relation: < → <=': 'the same: writing past a typed array does nothing',
  'src/tone/check/unsmear.ts relation: > → >=': 'the same: writing past a typed array does nothing',
  'src/tone/notes/harmonic-series.ts condition: last === 0 → false':
    'the same: such a series was left out afterwards. The code is gone by now',
  'src/tone/notes/harmonic-series.ts relation: > → >=': 'a line at exactly 2200 Hz',
  'src/tone/notes/played.ts relation: <= → <': 'energies in the ratio of exactly 31.6',
  'src/tone/notes/tonal-lines.ts relation: >= → >': 'a line exactly 50 dB under the strongest',
  'src/tone/neighbours/voices.ts condition: own.size === 0 → false':
    'the same: what holds no recording is held by every other. The code is gone by now',
  'src/tone/predict/first-notch.ts arithmetic: + → -':
    'two of 81 fine steps at the far end of a search whose least lies in the middle',
  'src/tone/predict/shared-sound.ts relation: >= → >': 'the same: at 1 the formula below gives 1',
  'src/tone/predict/tone-bins.ts arithmetic: / → *':
    'the same: the bound was always met. The code is gone by now',
  'src/tone/predict/tone-bins.ts relation: < → <=': 'the same: the next loop writes that place again',
  'src/tone/predict/tone-words.ts relation: < → <=': 'notches exactly a semitone apart',
  'src/tone/predict/wide-bands.ts relation: >= → >': 'a band that holds exactly a ten-thousandth',
}

/** Why a mutant of the list is not noticed; null where nobody has said. */
export const becauseOf = (told: string): string | null => BECAUSE[told.replace(/:\d+ /, ' ')] ?? null
