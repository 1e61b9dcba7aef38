/** The closed set of warnings: things that were done or left and that a person should know. */
export const WARNING_CODES = [
  'WAVE_TRUNCATED', // shorter than its header says; what is whole is used
  'WAVE_UNFINISHED', // a recording that was never closed; read to its end
  'WAVE_METADATA', // a metadata chunk that could not be read
  'SILENT',
  'FALLS_SILENT', // silent for good while others of its group play on
  'DEAD_CHANNEL', // one channel of a linked set holds nothing
  'CLIPPED',
  'DC_OFFSET',
  'HUM',
  'DROPPED_SAMPLES',
  'LEVEL_FAR_OFF', // far below the others of its group
  'LENGTH_DIFFERS',
  'START_DIFFERS', // time stamps differ: taken off before measuring
  'STAMP_CONTRADICTED', // the sound says otherwise than the time stamps
  'COPY_OF_ANOTHER',
  'CHANNELS_SWAPPED',
  'RATE_LABEL',
  'NOT_SURE', // a source stays as recorded because its verdict is not `sure`
  'REFERENCE_POLARITY', // most others are inverted against the reference
  'STATED_DIFFERS', // the recipe states a lag or polarity that the measurement contradicts
  'DISTANCE_DIFFERS',
  'SLATE_NOT_FOUND', // the recipe names a slate that is not heard, or not clearly
  'SLATE_DIFFERS', // the slate contradicts what is sure by what was played
  'ODD_TAKE', // a take of one setup is sure of something else than the others
  'TAKES_DISAGREE', // takes of one setup that have no lag in common
  'TAKE_MISSING', // a take of one setup is not there, or cannot be read
  'DRIFT',
  'STEP',
  'PIECES_GAP', // nothing is recorded between two pieces of a source
  'PIECES_TOUCH', // two pieces meet without sound in common: no cross-fade is possible
  'PIECE_MOVED', // a piece arrives otherwise than the others of its source: it is lined up by its own lag
  'PIECE_LIKE_NEIGHBOUR', // a piece that is not sure by itself is lined up like the one beside it
  'HEAD_CUT', // sound above -60 dBFS would be pushed before the start
  'CEILING', // blends were turned down
  'CLIPPED_STEM', // a single source above full scale was turned down for an integer depth
  'PREDICTION_DIFFERS', // measured tone differs from the prediction
  'NEIGHBOUR_LOSS', // lining up this group costs another one
  'LOCK_KEPT', // measured now it would be otherwise; the lock's moves are kept
  'LAG_LEFT', // the delivered stems, measured again, are late by something else than was meant
  'OLD_STEMS', // stems in the folder that this recipe does not make
] as const

export type WarningCode = (typeof WARNING_CODES)[number]

export interface Warning {
  readonly code: WarningCode
  /** The group and source concerned, null where it is about the whole song. */
  readonly group: string | null
  readonly source: string | null
  /** One or two sentences: what was seen, what was done about it, what the engineer can do. */
  readonly message: string
}
