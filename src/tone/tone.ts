/** What a blend does to the tone, as recorded (`before`) and as delivered (`after`): design §7. */
export interface BlendTone {
  readonly blend: string
  readonly group: string
  /** Frequencies of the curves, ascending, spaced evenly in the logarithm. */
  readonly frequenciesHz: readonly number[]
  readonly before: ToneCurve
  readonly after: ToneCurve
  readonly semitones: readonly Semitone[]
  /** Energy-weighted standard deviation of the loss over the semitones that were played, dB; null where nothing is pitched. */
  readonly evennessBeforeDb: number | null
  readonly evennessAfterDb: number | null
  readonly firstNotchBeforeHz: number | null
  readonly firstNotchAfterHz: number | null
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
  /** Loss as defined in design §2, dB, 0 or more; null where nothing was played at that frequency. */
  readonly lossDb: readonly (number | null)[]
  /** Level of the blend relative to its loudest frequency, dB; null = nothing. */
  readonly levelDb: readonly (number | null)[]
}

export interface Semitone {
  readonly midi: number
  readonly name: string
  readonly frequencyHz: number
  /** Share of the played energy, 0..1; the shares of all semitones sum to 1. */
  readonly energyShare: number
  readonly lossBeforeDb: number | null
  readonly lossAfterDb: number | null
}

export interface ToneCheck {
  readonly thirdOctaves: readonly {
    readonly centreHz: number
    readonly predictedDb: number | null
    readonly measuredDb: number | null
    readonly differenceDb: number | null
    /** True for bands within 40 dB of the loudest: those are judged. */
    readonly judged: boolean
  }[]
  readonly worstDifferenceDb: number | null
  readonly bandsJudged: number
}
