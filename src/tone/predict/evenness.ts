/**
 * Energy-weighted standard deviation (divided by n, not n - 1) of the loss over notes, dB: small = the tone stays the same from note to
 * note. Notes without a loss do not count; null without any. The shares need not sum to 1.
 */
export const evennessDb = (
  notes: readonly { readonly energyShare: number; readonly lossDb: number | null }[],
): number | null => {
  const told = notes.flatMap(({ energyShare, lossDb }) => (lossDb === null ? [] : [{ energyShare, lossDb }]))
  const weight = told.reduce((sum, note) => sum + note.energyShare, 0)
  if (!(weight > 0)) return null
  const mean = told.reduce((sum, note) => sum + note.energyShare * note.lossDb, 0) / weight
  const variance = told.reduce((sum, note) => {
    const off = note.lossDb - mean
    return sum + note.energyShare * off * off
  }, 0)
  return Math.sqrt(variance / weight)
}
