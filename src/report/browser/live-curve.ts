/** Draws loss over frequency into a path of `deskChart`; the scales stand in its `data-scale`. */
export const drawCurve = (
  path: SVGPathElement,
  frequenciesHz: readonly number[],
  lossDb: readonly (number | null)[],
): void => {
  const [low, high, left, right, top, floor, deepest] = (path.dataset['scale'] ?? '')
    .split(' ')
    .map(Number) as [number, number, number, number, number, number, number]
  const perLog = (right - left) / Math.log(high / low)
  let text = ''
  let pen = 'M'
  frequenciesHz.forEach((hz, i) => {
    const loss = lossDb[i] ?? null
    if (loss === null || hz < low || hz > high) {
      pen = 'M'
      return
    }
    const x = left + perLog * Math.log(hz / low)
    const y = top + ((floor - top) * Math.min(deepest, loss)) / deepest
    text += `${pen}${x.toFixed(1)},${y.toFixed(1)}`
    pen = 'L'
  })
  path.setAttribute('d', text)
}
