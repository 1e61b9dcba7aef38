/** What a blend does to the tone, as recorded (`before`) and as delivered (`after`): design §7. */
export interface BlendTone {
  readonly blend: string
  readonly group: string
  /** Frequencies of the curves, ascending, spaced evenly in the logarithm. */
  readonly frequenciesHz: readonly number[]
  readonly before: ToneCurve
  readonly after: ToneCurve
  /** Lowest first; empty where nothing is pitched. */
  readonly semitones: readonly Semitone[]
  /** Energy-weighted standard deviation of the loss over the semitones that were played, dB; null where nothing is pitched. */
  readonly evennessBeforeDb: number | null
  readonly evennessAfterDb: number | null
  /** Lowest local maximum of the loss above 6 dB; null where there is none. */
  readonly firstNotchBeforeHz: number | null
  readonly firstNotchAfterHz: number | null
  /** Change of the whole blend's power, dB; null where it is silent. */
  readonly broadbandChangeDb: number | null
  /** Level change by wide bands, for words: low end 60-250 Hz and so on. */
  readonly bands: readonly {
    readonly name: string
    readonly fromHz: number
    readonly toHz: number
    readonly changeDb: number | null
  }[]
  /** One line: "low end 60-250 Hz: +4.1 dB; first notch 251 Hz gone; evenness 5.2 -> 0.8 dB". */
  readonly words: string
  /** Prediction against what an independent filter bank measured on the written stem; null before it was measured. */
  readonly check: ToneCheck | null
}

export interface ToneCurve {
  /** Loss as defined in design §2, dB, 0 … 60 (deeper is told as 60); null where nothing was played at that frequency. */
  readonly lossDb: readonly (number | null)[]
  /** Level of the blend in a 24th of an octave, dB relative to the loudest point of the two curves; null = nothing. */
  readonly levelDb: readonly (number | null)[]
}

/** A note that was played. Its loss is that of the whole note: fundamental and partials, by energy. */
export interface Semitone {
  readonly midi: number
  /** C4 = 60; sharps: "A♯1". */
  readonly name: string
  /** Of the fundamental. */
  readonly frequencyHz: number
  /** Share of the played energy, over 0 and up to 1; the shares of all semitones sum to 1. */
  readonly energyShare: number
  readonly lossBeforeDb: number | null
  readonly lossAfterDb: number | null
  /** When it sounds loudest, seconds on the timeline of the stems: the best moment of every few seconds, ascending. */
  readonly soundsAtSeconds: readonly number[]
}

export interface ToneCheck {
  /** Mean squares over the whole stem, channels added, in dB; a full-scale square wave has 0, a full-scale sine -3.01. */
  readonly thirdOctaves: readonly {
    /** Exact mid-band frequency: 125.89 for the band called 125 Hz. */
    readonly centreHz: number
    readonly predictedDb: number | null
    readonly measuredDb: number | null
    /** Measured minus predicted. */
    readonly differenceDb: number | null
    /** True for bands within 40 dB of the loudest, unless more than a tenth of a band is dither: those are judged. */
    readonly judged: boolean
  }[]
  /** Largest distance either way among the bands that are judged; null where none is. */
  readonly worstDifferenceDb: number | null
  readonly bandsJudged: number
}
