/** Turns of a blind test. */
export const TURNS = 12

/** Probability of `least` or more hits in `turns` even guesses: sum of C(turns, k) / 2^turns. */
export const chanceOfAtLeast = (least: number, turns: number): number => {
  let ways = 1
  let all = 1
  let enough = least <= 0 ? 1 : 0
  for (let k = 1; k <= turns; k++) {
    ways = (ways * (turns - k + 1)) / k
    all += ways
    if (k >= least) enough += ways
  }
  return enough / all
}

export type Question = 'which' | 'prefer'

const percent = (chance: number): string =>
  chance >= 0.995
    ? '100 %'
    : chance >= 0.01
      ? `${(100 * chance).toFixed(0)} %`
      : `${(100 * chance).toFixed(1)} %`

/**
 * What a finished test says, and does not say. `hits`: turns in which the delivered one was named (or preferred). One in twenty by guessing
 * is the usual line (common practice, no source).
 */
export const blindResult = (question: Question, hits: number, turns: number): string => {
  if (question === 'which') {
    const chance = chanceOfAtLeast(hits, turns)
    const verdict =
      chance <= 0.05 ? 'You can tell them apart here.' : 'That is no proof that you can tell them apart here.'
    return `${hits} of ${turns} right. By guessing alone, ${hits} or more happen in ${percent(chance)} of such tests. ${verdict}`
  }
  const more = Math.max(hits, turns - hits)
  const chance = Math.min(1, 2 * chanceOfAtLeast(more, turns))
  const which =
    2 * hits === turns ? 'neither' : hits > turns - hits ? 'the lined-up one' : 'the one as recorded'
  const verdict = chance <= 0.05 ? `You prefer ${which} here.` : 'That is no clear preference.'
  return `You took the lined-up one ${hits} of ${turns} times. Without any preference, a split as uneven as this happens in ${percent(chance)} of such tests. ${verdict}`
}
