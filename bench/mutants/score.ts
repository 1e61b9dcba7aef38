/** Wilson's interval for a share (Wilson 1927), 95 %. */
export const shareBetween = (hits: number, trials: number): readonly [number, number] => {
  if (trials === 0) return [0, 1]
  const z = 1.96
  const share = hits / trials
  const spread = z * Math.sqrt((share * (1 - share)) / trials + (z * z) / (4 * trials * trials))
  const middle = share + (z * z) / (2 * trials)
  const scale = 1 + (z * z) / trials
  return [Math.max(0, (middle - spread) / scale), Math.min(1, (middle + spread) / scale)]
}

const percent = (share: number): string => `${(100 * share).toFixed(0)} %`

/** `170 of 200 (85 %; 95 % between 79 and 89 %)`. */
export const scoreText = (killed: number, mutants: number): string => {
  const [low, high] = shareBetween(killed, mutants)
  return `${killed} of ${mutants} (${percent(killed / mutants)}; 95 % between ${percent(low)} and ${percent(high)})`
}
