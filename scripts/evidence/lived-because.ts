/** Mutants that lived, looked at one by one: as the page lists them, and why no test notices. */
const BECAUSE: Readonly<Record<string, string>> = {
  'src/measure/group/gates.ts:11 call: max → min': 'noticed by a test that was written since',
  'src/measure/group/second-copy.ts:43 call: min → max': 'noticed by a test that was written since',
  'src/measure/pair/arrival.ts:101 condition: counts → true': 'noticed by a test that was written since',
  'src/tone/neighbours/neighbour-warnings.ts:23 block: centreHz → undefined':
    'noticed by a test that was written since',
  'src/tone/notes/tonal-lines.ts:52 arithmetic: - → +': 'noticed by a test that was written since',
  'src/tone/predict/first-notch.ts:75 arithmetic: + → -': 'noticed by a test that was written since',
  'src/measure/group/runaways.ts:32 arithmetic: / → *':
    'takes of less than six seconds are then looked at too',
  'src/measure/pair/halves.ts:71 relation: > → >=': 'a half of the band whose best value is exactly 0',
  'src/measure/pair/loud-support.ts:123 arithmetic: + → -':
    'another taper of 17 terms, which moves a share by little',
  'src/measure/pair/turn.ts:28 relation: < → <=': 'the same: writing past a typed array does nothing',
  'src/measure/slate/response-lag.ts:133 condition: power > 0 → true':
    'the same: what is divided by nothing is infinite or no number, and neither passes the comparison',
  'src/measure/time/over-time.ts:37 call: [...motion.steps, ...curve.steps].map(s => s.atSeconds).sort((a, b) => a - b) → [...motion.steps, ...curve.steps].map(s => s.atSeconds)':
    'a step that is found before others that were followed already: the quick tests have no such take',
  'src/render/archive-folder.ts:21 relation: < → <=': 'the same: no two names are alike',
  'src/render/check-targets.ts:32 condition: there.isDirectory() → true':
    'noticed by a test that was written since',
  'src/render/deliver-folder.ts:65 relation: > → <=':
    'noticed by the test of renders that are killed, which was left out here',
  "src/render/folder-hold.ts:94 condition: codeOf(error) === 'EEXIST' → true":
    'noticed by a test that was written since',
  'src/render/zip-layout.ts:91 relation: > → >=':
    'a directory of exactly the largest size; of the offset it is noticed',
  'src/tone/check/band-weights.ts:34 relation: > → >=':
    'the same: no bin lies at exactly eight times a middle',
  'src/tone/check/moved-power.ts:62 relation: < → <=': 'the same: writing past a typed array does nothing',
  'src/tone/check/unsmear.ts:28 relation: > → >=': 'the same: writing past a typed array does nothing',
  'src/tone/notes/harmonic-series.ts:74 condition: last === 0 → false':
    'the same: such a series was left out afterwards. The code is gone by now',
  'src/tone/notes/harmonic-series.ts:86 relation: > → >=': 'a line at exactly 2200 Hz',
  'src/tone/notes/played.ts:85 relation: <= → <': 'energies in the ratio of exactly 31.6',
  'src/tone/notes/tonal-lines.ts:64 relation: >= → >': 'a line exactly 50 dB under the strongest',
  'src/tone/neighbours/voices.ts:44 condition: own.size === 0 → false':
    'the same: what holds no recording is held by every other. The code is gone by now',
  'src/tone/predict/first-notch.ts:50 arithmetic: + → -':
    'two of 81 fine steps at the far end of a search whose least lies in the middle',
  'src/tone/predict/first-notch.ts:65 condition: curvature > 0 → true':
    'the least place has a lesser neighbour only where next to nothing was played',
  'src/tone/predict/shared-sound.ts:21 relation: >= → >': 'the same: at 1 the formula below gives 1',
  'src/tone/predict/tone-bins.ts:38 arithmetic: / → *':
    'the same: the bound was always met. The code is gone by now',
  'src/tone/predict/tone-bins.ts:53 relation: < → <=': 'the same: the next loop writes that place again',
  'src/tone/predict/tone-words.ts:45 relation: < → <=': 'notches exactly a semitone apart',
  'src/tone/predict/tone-words.ts:50 relation: < → <=': 'evenness that changes by exactly 0.2 dB',
  'src/tone/predict/wide-bands.ts:28 relation: >= → >': 'a band that holds exactly a ten-thousandth',
  'src/decide/follow.ts:108 relation: > → >=': 'the same: at a knot both stretches give its value',
  'src/decide/follow.ts:88 arithmetic: / → *':
    'the same: a knot that does not come after the one before it is left out',
  'src/decide/plan-warnings.ts:50 arithmetic: - → +':
    'noticed by the test of bad input that holds the words of PIECES_TOUCH, which is no test of the room',
  'src/decide/quiet-steps.ts:30 condition: wanted.length === 0 → false':
    'the same: nothing is asked for then, and the map comes out empty',
  'src/decide/song-timeline.ts:26 arithmetic: / → *':
    'the shift a day later: the same but for a slew that runs over the end of the take',
  'src/decide/timeline.ts:57 condition: span.alsoAsRecorded → false':
    'the parts of such a blend lie unmoved on the timeline themselves, but in a group that is moved inside another',
  'src/decide/timeline.ts:73 relation: < → <=': 'the same: of two equal moments either',
  "src/wave/broadcast-extension.ts:85 text: `${history}\\0` → ''": 'noticed by a test that was written since',
  'src/wave/frame-reader.ts:25 relation: < → <=':
    'the same: a value that is not finite was found before that one',
  'src/wave/ixml.ts:146 arithmetic: % → *': 'noticed by a test that was written since',
  'src/wave/marker-chunks.ts:55 logic: && → ||': 'noticed by a test that was written since',
  'src/wave/riff-chunks.ts:104 arithmetic: % → *': 'files over 4 GiB whose size went round to an odd number',
  'src/wave/time-stamp.ts:13 condition: from === 0n → false': 'noticed by a test that was written since',
  'src/wave/wave-header.ts:54 arithmetic: * → /': 'noticed by a test that was written since',
}

/** Why a mutant of the list is not noticed; null where nobody has said. */
export const becauseOf = (told: string): string | null => BECAUSE[told] ?? null
