import * as portable from '../../terms/portable.js'

/** What a band of frequency tells by itself. */
export interface BandCoherence {
  /** Independent values in it. */
  readonly count: number
  /** Their mean coherence in phase with a lag and a sign, −1 … 1: γ as this band alone has it; chance scatters by `1 / √(2 count)`. */
  readonly inPhase: number
}

/** How far the logarithm of γ may bend from band to band: a standard deviation of 0.35 (a factor of 1.4). */
const BEND = 4
/** Keeps a profile that nothing holds from running off. */
const HOLD = 1e-3
const LOWEST = -12
const HIGHEST = -0.0005
const ROUNDS = 60
const MOST_STEP = 2
/** Rounds end once no logarithm moves more than this. */
const SETTLED = 0.003

/**
 * log-likelihood of `γ = e^log` against no common sound at all, for a mean `inPhase` of values of level 1 (bivariate complex normal):
 * `-n (ln(1 - γ²) + 2 (1 - γ c) / (1 - γ²) - 2)`.
 */
const evidenceAt = ({ count, inPhase }: BandCoherence, log: number): number => {
  const gamma = portable.exp(log)
  const left = 1 - gamma * gamma
  return count * (2 - portable.log(left) - (2 * (1 - gamma * inPhase)) / left)
}

/** Of every band: how much likelier the profile makes what it shows than no common sound would, in nats. */
export const evidenceOf = (bands: readonly BandCoherence[], logs: Float64Array): number[] =>
  bands.map((band, b) => evidenceAt(band, logs[b]!))

/**
 * The most likely ln γ of bands in a row, all equally wide on a logarithmic scale, of which is expected that its curve bends little. Each band
 * has the likelihood of `evidenceAt`; every second difference d costs `4 d²`. Between bands that show much and bands that
 * show nothing the curve falls as steeply as it must and goes on falling: chance in the treble does not lift it again, and sound that fades away is
 * followed to where no band by itself would tell it. Scoring steps (Fisher) that are halved until they help.
 */
export const likeliestProfile = (bands: readonly BandCoherence[]): Float64Array => {
  const size = bands.length
  let logs = Float64Array.from(bands, b =>
    portable.log(Math.max(Math.min(b.inPhase, 0.999), 0.5 / Math.sqrt(Math.max(1, b.count)))),
  )
  let height = heightOf(bands, logs)
  for (let round = 0; round < ROUNDS; round++) {
    const step = scoringStep(bands, logs)
    let most = 0
    let share = 1
    for (let half = 0; half < 8; half++, share /= 2) {
      const next = new Float64Array(size)
      most = 0
      for (let b = 0; b < size; b++) {
        const moved = share * Math.max(-MOST_STEP, Math.min(MOST_STEP, step[b]!))
        next[b] = Math.min(HIGHEST, Math.max(LOWEST, logs[b]! + moved))
        most = Math.max(most, Math.abs(next[b]! - logs[b]!))
      }
      const there = heightOf(bands, next)
      if (there >= height) {
        logs = next
        height = there
        break
      }
      most = 0
    }
    if (most < SETTLED) break
  }
  return logs
}

const heightOf = (bands: readonly BandCoherence[], logs: Float64Array): number => {
  let sum = 0
  for (let b = 0; b < bands.length; b++) {
    sum += evidenceAt(bands[b]!, logs[b]!)
    if (b > 0 && b + 1 < bands.length) sum -= BEND * (logs[b - 1]! - 2 * logs[b]! + logs[b + 1]!) ** 2
  }
  return sum
}

// (information + bending) step = slope, a symmetric matrix of five diagonals.
const scoringStep = (bands: readonly BandCoherence[], logs: Float64Array): Float64Array => {
  const size = bands.length
  const main = new Float64Array(size)
  const next = new Float64Array(size)
  const after = new Float64Array(size)
  const right = new Float64Array(size)
  for (let b = 0; b < size; b++) {
    const { count, inPhase } = bands[b]!
    const gamma = portable.exp(logs[b]!)
    const left = 1 - gamma * gamma
    right[b] =
      (2 * gamma * count * (inPhase * (1 + gamma * gamma) - gamma * (1 + gamma * gamma))) / (left * left)
    main[b] = (2 * gamma * gamma * count * (1 + gamma * gamma)) / (left * left) + HOLD
  }
  for (let b = 1; b + 1 < size; b++) {
    const bend = 2 * BEND * (logs[b - 1]! - 2 * logs[b]! + logs[b + 1]!)
    right[b - 1]! -= bend
    right[b]! += 2 * bend
    right[b + 1]! -= bend
    main[b - 1]! += 2 * BEND
    main[b]! += 8 * BEND
    main[b + 1]! += 2 * BEND
    next[b - 1]! -= 4 * BEND
    next[b]! -= 4 * BEND
    after[b - 1]! += 2 * BEND
  }
  return solved(main, next, after, right)
}

// Square-root-free Cholesky of a matrix with two diagonals beside the main one; `right` becomes the solution.
const solved = (
  main: Float64Array,
  next: Float64Array,
  after: Float64Array,
  right: Float64Array,
): Float64Array => {
  const size = main.length
  for (let i = 0; i < size; i++) {
    const one = next[i]! / main[i]!
    const two = after[i]! / main[i]!
    if (i + 1 < size) {
      main[i + 1]! -= one * next[i]!
      next[i + 1]! -= one * after[i]!
      right[i + 1]! -= one * right[i]!
    }
    if (i + 2 < size) {
      main[i + 2]! -= two * after[i]!
      right[i + 2]! -= two * right[i]!
    }
  }
  for (let i = size - 1; i >= 0; i--) {
    let value = right[i]!
    if (i + 1 < size) value -= next[i]! * right[i + 1]!
    if (i + 2 < size) value -= after[i]! * right[i + 2]!
    right[i] = value / main[i]!
  }
  return right
}
