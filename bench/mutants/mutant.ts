/** One small change of one source file: the text from `start` to `end` (UTF-16 units) gives way to `replacement`. */
export interface Mutant {
  readonly file: string
  readonly line: number
  readonly start: number
  readonly end: number
  /** What was changed, in the words of `mutantsOf`. */
  readonly kind: string
  readonly former: string
  readonly replacement: string
}

export const mutated = (text: string, { start, end, replacement }: Mutant): string =>
  text.slice(0, start) + replacement + text.slice(end)

/** Short form for lists: `src/wave/probe.ts:31 equality  a < b → a <= b`. */
export const told = ({ file, line, kind, former, replacement }: Mutant): string =>
  `${file}:${line} ${kind}: ${oneLine(former)} → ${oneLine(replacement)}`

const oneLine = (text: string): string => {
  const flat = text.replace(/\s+/g, ' ')
  return flat.length > 90 ? `${flat.slice(0, 60)} … ${flat.slice(-25)}` : flat || '(nothing)'
}
