import type { Place } from '../../terms/fault.js'

/** A recipe (or a base of one) as text, with the means to say where in it something stands. */
export class SourceText {
  /** Offset of the first character of each line, UTF-16 units. */
  private readonly lineStarts: readonly number[]

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
    const sourceLine = this.line(line)
    const first = Math.min(from - lineStart, sourceLine.length)
    const last = Math.min(Math.max(end, from) - lineStart, sourceLine.length)
    return {
      file: this.shown,
      line,
      column: codePoints(sourceLine.slice(0, first)) + 1,
      length: Math.max(1, codePoints(sourceLine.slice(first, last).trimEnd())),
      sourceLine,
    }
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

const codePoints = (text: string): number => Array.from(text).length
