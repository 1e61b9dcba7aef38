/**
 * The legal word that a misspelt one most likely means, or null where none is near: at most a third of its letters may differ
 * (at least one, at most four), case and separators counting less than letters. Ties go to the first in the list.
 */
export const nearestOf = (typed: string, legal: readonly string[]): string | null => {
  const plain = plainForm(typed)
  if (plain.length === 0 || typed.length > 200) return null
  const allowed = Math.min(4, Math.max(1, Math.floor(plain.length / 3)))
  let best: string | null = null
  let bestEdits = allowed + 1
  for (const word of legal.slice(0, MOST_WORDS)) {
    const other = plainForm(word)
    if (Math.abs(other.length - plain.length) >= bestEdits) continue
    const edits = editsBetween(plain, other)
    if (edits < bestEdits) {
      best = word
      bestEdits = edits
    }
  }
  return best
}

/** Enough for any recipe; keeps a hostile one from comparing everything with everything. */
const MOST_WORDS = 512

const plainForm = (word: string): string => word.toLowerCase().replace(/[\s_-]/g, '')

/** Insertions, deletions, replacements and swaps of neighbours that turn one word into the other (optimal string alignment). */
const editsBetween = (a: string, b: string): number => {
  let twoBack: number[] = []
  let previous = Array.from({ length: b.length + 1 }, (_, column) => column)
  for (let row = 1; row <= a.length; row++) {
    const current = [row]
    for (let column = 1; column <= b.length; column++) {
      const differs = a[row - 1] === b[column - 1] ? 0 : 1
      let edits = Math.min(previous[column]! + 1, current[column - 1]! + 1, previous[column - 1]! + differs)
      const swapped = row > 1 && column > 1 && a[row - 1] === b[column - 2] && a[row - 2] === b[column - 1]
      if (swapped) edits = Math.min(edits, twoBack[column - 2]! + 1)
      current.push(edits)
    }
    twoBack = previous
    previous = current
  }
  return previous[b.length]!
}
