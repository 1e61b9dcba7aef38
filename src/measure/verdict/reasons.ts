/** What a verdict says to the engineer: what was seen, then what to do. One place, so that the voice stays one. */

const ms = (value: number): string => `${Math.abs(value).toFixed(Math.abs(value) < 1 ? 2 : 1)} ms`
const hz = (value: number): string =>
  value >= 1000 ? `${(value / 1000).toFixed(1)} kHz` : `${Math.max(1, Math.round(value))} Hz`

export const silent = (): string =>
  'nothing is played on this track: check the patch, the mute and that the right file is named'

export const referenceSilent = (): string =>
  'the reference is silent, so there is nothing to measure against: choose another reference'

export const nothingShared = (): string =>
  'shares no more sound with the reference than two unrelated tracks would: check that both are of the same take, name a passage in which both play, or choose another reference'

export const atTheEdge = (searchSeconds: number): string =>
  `the best match lies at the edge of the search of ${ms(searchSeconds * 1000)}: widen it (search:), or check that both files start together`

export const beyond = (lagMs: number): string =>
  `a lag of ${lagMs > 0 ? '' : 'minus '}${ms(lagMs)}, beyond the search, fits better than any within it: widen the search (search:), or check that both files start together`

export const otherPeriod = (awayMs: number): string =>
  `a lag ${ms(awayMs)} ${awayMs > 0 ? 'later' : 'earlier'} fits nearly as well, as with a held note, an exact loop or an echo: name a passage with clear attacks (passage:), or state the lag`

export const secondCopy = (awayMs: number): string =>
  `a second copy of the sound lies ${ms(awayMs)} ${awayMs > 0 ? 'later' : 'earlier'}, as with an echo or a doubled part: print the pass without it, narrow the search (search:), or state the lag`

export const otherPolarity = (awayMs: number): string =>
  `the opposite polarity ${ms(awayMs)} ${awayMs > 0 ? 'later' : 'earlier'} fits nearly as well, as with narrow-band sound: listen to both, and state lag and polarity, or name a passage with clear attacks`

export const halvesDisagree = (fromHz: number, toHz: number): string =>
  `the band from ${hz(fromHz)} to ${hz(toHz)} asks for another lag or polarity than the rest: the path turns the phase there, so listen to the candidates and state the one that sums fuller`

export const earlierSound = (beforeMs: number): string =>
  `there is sound ${ms(beforeMs)} before the best match: it may be a reflection that is louder than the direct sound, so move the microphone closer, or measure the distance and state the lag`

export const anotherSound = (fromHz: number, toHz: number, awayMs: number): string =>
  `the loud band from ${hz(fromHz)} to ${hz(toHz)} lines up ${ms(awayMs)} ${awayMs > 0 ? 'later' : 'earlier'}: something else (a click, cymbals, another instrument) bleeds into both tracks, so name a passage without it`

export const loudElsewhere = (): string =>
  'the loud notes do not line up where the faint treble does: something else may bleed into both tracks, so name a passage without it, or state the lag from the distance'

export const narrow = (middleHz: number): string =>
  `both share only a narrow band around ${hz(middleHz)}, which fits at many lags: name a passage with attacks or brighter notes`

export const faint = (): string =>
  'the match is weak: much of what both share arrives at other times, as in a very live room; name a passage with clear attacks, or state the lag from the distance'

export const littleShared = (share: number): string =>
  `only ${(100 * share).toFixed(1)} % of the energy is common to both: what matches may be bleed and not the instrument, so listen before you trust it`

export const changesOverTime = (): string =>
  'parts of the take contradict each other: something was moved or edited, so name the passage that counts (passage:)'

export const uncertain = (errorMs: number): string =>
  `the lag is only known to ${ms(errorMs)}: name a longer or louder passage`

export const pairsDisagree = (byMs: number): string =>
  `the other tracks of the group put it ${ms(byMs)} elsewhere than the reference does: look for edits and bleed, then name a passage without them (passage:), or state the lag from the distance`

export const channelsDisagree = (): string =>
  'its channels have opposite polarity against the reference: check the cable or the matrix of the pair, then record the polarity of each channel'
