import type { Place } from '../../terms/fault.js'

/** A recipe (or a base of one) as text, with the means to say where in it something stands. */
export class SourceText {
  /** Offset of the first character of each line, UTF-16 units. */
  private readonly lineStarts: readonly number[]
  private lastCounted: CountedLine | undefined

  constructor(
    /** Absolute path. */
    readonly path: string,
    /** The path as the user wrote it, for people. */
    readonly shown: string,
    readonly text: string,
  ) {
    const starts = [0]
    for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) starts.push(at + 1)
    this.lineStarts = starts
  }

  /** Line, column and extent of the text from `start` to `end` (offsets, UTF-16 units); cut at the end of the first line. */
  place(start: number, end: number): Place {
    const from = Math.min(Math.max(start, 0), this.text.length)
    const line = this.lineOf(from)
    const lineStart = this.lineStarts[line - 1]!
    const { text: sourceLine, codePointsBefore } = this.countedLine(line)
    const first = Math.min(from - lineStart, sourceLine.length)
    const marked = sourceLine.slice(first, Math.max(end, from) - lineStart).trimEnd()
    const before = codePointsBefore(first)
    return {
      file: this.shown,
      line,
      column: before + 1,
      length: Math.max(1, codePointsBefore(first + marked.length) - before),
      sourceLine,
    }
  }

  /** A line with its characters counted, kept for the next fault: a line may be long, and may have many. */
  private countedLine(line: number): CountedLine {
    if (this.lastCounted?.line !== line) this.lastCounted = countLine(line, this.line(line))
    return this.lastCounted
  }

  /** Number of the line, from 1, on which the offset lies. */
  lineOf(offset: number): number {
    let low = 0
    let high = this.lineStarts.length - 1
    while (low < high) {
      const middle = (low + high + 1) >> 1
      if (this.lineStarts[middle]! <= offset) low = middle
      else high = middle - 1
    }
    return low + 1
  }

  lineStart(line: number): number {
    return this.lineStarts[line - 1] ?? this.text.length
  }

  /** The line without its end; empty beyond the last. */
  line(line: number): string {
    const start = this.lineStarts[line - 1]
    if (start === undefined) return ''
    const next = this.lineStarts[line]
    return this.text.slice(start, next === undefined ? undefined : next - 1).replace(/\r$/, '')
  }
}

interface CountedLine {
  readonly line: number
  readonly text: string
  /** Number of code points before an offset in UTF-16 units. */
  readonly codePointsBefore: (offset: number) => number
}

const countLine = (line: number, text: string): CountedLine => {
  if (!/[\ud800-\udbff]/.test(text)) return { line, text, codePointsBefore: offset => offset }
  const counts = new Uint32Array(text.length + 1)
  for (let offset = 0, count = 0; offset < text.length; ) {
    const width = text.codePointAt(offset)! > 0xffff ? 2 : 1
    counts[offset] = count
    if (width === 2) counts[offset + 1] = count
    offset += width
    count += 1
    counts[offset] = count
  }
  return { line, text, codePointsBefore: offset => counts[offset]! }
}
