/** A plain drawing with axes and units, as SVG text; legible on light and dark pages. */

export interface Axis {
  readonly label: string
  readonly from: number
  readonly to: number
  readonly ticks: readonly number[]
  /** Octaves alike wide. */
  readonly logarithmic?: boolean
}

export interface Curve {
  readonly name: string
  readonly colour: string
  /** NaN breaks the line. */
  readonly points: readonly (readonly [x: number, y: number])[]
  /** Points instead of a line; the size of each is then its third part in the order of `points`. */
  readonly dots?: readonly number[]
}

export interface Mark {
  readonly x: number
  readonly text: string
  readonly colour: string
  /** Rows from the top. */
  readonly row: number
}

export interface Drawing {
  readonly title: string
  readonly x: Axis
  readonly y: Axis
  readonly curves: readonly Curve[]
  readonly marks: readonly Mark[]
}

const WIDTH = 860
const HEIGHT = 400
const LEFT = 70
const RIGHT = 20
const TOP = 62
const BOTTOM = 52

const scaleOf = ({ from, to, logarithmic }: Axis, low: number, high: number) => {
  const f = logarithmic === true ? Math.log : (v: number): number => v
  return (value: number): number => low + ((f(value) - f(from)) / (f(to) - f(from))) * (high - low)
}

const escaped = (text: string): string => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;')

const lineOf = (curve: Curve, x: (v: number) => number, y: (v: number) => number): string => {
  let pen = 'M'
  let path = ''
  for (const [px, py] of curve.points) {
    if (!Number.isFinite(py)) {
      pen = 'M'
      continue
    }
    path += `${pen}${x(px).toFixed(1)} ${y(py).toFixed(1)}`
    pen = 'L'
  }
  return `<path d="${path}" fill="none" stroke="${curve.colour}" stroke-width="1.6"/>`
}

const dotsOf = (curve: Curve, x: (v: number) => number, y: (v: number) => number): string =>
  curve.points
    .map(([px, py], i) => {
      const radius = curve.dots![i]!
      return radius > 0.3
        ? `<circle cx="${x(px).toFixed(1)}" cy="${y(py).toFixed(1)}" r="${radius.toFixed(1)}" fill="${curve.colour}" fill-opacity="0.75"/>`
        : ''
    })
    .join('')

export const drawn = ({ title, x, y, curves, marks }: Drawing): string => {
  const sx = scaleOf(x, LEFT, WIDTH - RIGHT)
  const sy = scaleOf(y, HEIGHT - BOTTOM, TOP)
  const text = (px: number, py: number, words: string, more = ''): string =>
    `<text x="${px.toFixed(1)}" y="${py.toFixed(1)}" ${more}>${escaped(words)}</text>`
  // To the left of its line where it would run out of the picture.
  const besideLine = (px: number, py: number, { text: words, colour }: Mark): string =>
    px + 7 * words.length < WIDTH - RIGHT
      ? text(px + 5, py, words, `fill="${colour}"`)
      : text(px - 5, py, words, `fill="${colour}" text-anchor="end"`)
  const grid = [
    ...x.ticks.map(
      t =>
        `<line x1="${sx(t).toFixed(1)}" x2="${sx(t).toFixed(1)}" y1="${TOP}" y2="${HEIGHT - BOTTOM}" stroke="#d0d0d0"/>${text(sx(t), HEIGHT - BOTTOM + 17, String(t).replace('-', '−'), 'text-anchor="middle"')}`,
    ),
    ...y.ticks.map(
      t =>
        `<line x1="${LEFT}" x2="${WIDTH - RIGHT}" y1="${sy(t).toFixed(1)}" y2="${sy(t).toFixed(1)}" stroke="${t === 0 ? '#808080' : '#d0d0d0'}"/>${text(LEFT - 8, sy(t) + 4, String(t).replace('-', '−'), 'text-anchor="end"')}`,
    ),
  ]
  const lines = marks.map(
    m =>
      `<line x1="${sx(m.x).toFixed(1)}" x2="${sx(m.x).toFixed(1)}" y1="${TOP}" y2="${HEIGHT - BOTTOM}" stroke="${m.colour}" stroke-dasharray="5 4"/>${besideLine(sx(m.x), TOP + 14 + 16 * m.row, m)}`,
  )
  let at = LEFT
  const legend = curves.map(c => {
    const item = `<rect x="${at}" y="34" width="18" height="4" fill="${c.colour}"/>${text(at + 24, 41, c.name)}`
    at += 48 + 7 * c.name.length
    return item
  })
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${HEIGHT}" font-family="sans-serif" font-size="13" fill="#222">`,
    `<title>${escaped(title)}</title>`,
    `<rect width="${WIDTH}" height="${HEIGHT}" fill="#fff"/>`,
    text(LEFT, 21, title, 'font-size="15" font-weight="bold"'),
    ...legend,
    ...grid,
    ...curves.map(c => (c.dots === undefined ? lineOf(c, sx, sy) : dotsOf(c, sx, sy))),
    ...lines,
    text((LEFT + WIDTH - RIGHT) / 2, HEIGHT - 14, x.label, 'text-anchor="middle"'),
    text(
      0,
      0,
      y.label,
      `text-anchor="middle" transform="translate(18 ${(TOP + HEIGHT - BOTTOM) / 2}) rotate(-90)"`,
    ),
    '</svg>',
    '',
  ].join('\n')
}
