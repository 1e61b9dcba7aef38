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

type How = Pick<Row, 'tell' | 'unit' | 'decimals'>

const telling =
  (tell: Row['tell']) =>
  (unit: string, decimals: number): How => ({ tell, unit, decimals })

export const furthest = telling('furthest')
export const largest = telling('largest')
export const range = telling('range')
/** All are as they should be, or are counted. */
export const none: How = { tell: 'count', unit: '', decimals: 0 }

export const row = (
  about: string,
  how: How,
  allowed: string,
  test: string,
  what: string,
  source: string,
): Row => ({ about, what, ...how, allowed, source, test })

export const outside = (name: string): string => `test/outside/${name}.test.ts`
export const demo = 'test/end-to-end/demo-truth.test.ts'
export const verdicts = 'test/measure/verdicts.test.ts'
