import type { SourceMeasurement } from '../measurement.js'

/** Drift is told where it moves the lag by more than this over the take, seconds. */
const DRIFT_TOLD_SECONDS = 2e-5

/** By how much a source's lag drifts over the take, seconds; 0 where that is too little to be told. */
export const driftToldSeconds = ({
  drift,
  lagOverTime,
}: Pick<SourceMeasurement, 'drift' | 'lagOverTime'>): number => {
  if (drift === null || lagOverTime === null || lagOverTime.length < 2) return 0
  const span = lagOverTime[lagOverTime.length - 1]!.atSeconds - lagOverTime[0]!.atSeconds
  const total = Math.abs(drift.ppm) * 1e-6 * span
  return total > DRIFT_TOLD_SECONDS ? total : 0
}
