/** How a text stands out in a terminal. */
export interface Ink {
  strong(text: string): string
  quiet(text: string): string
  alert(text: string): string
}

const escape = (on: number, off: number) => (text: string) => `\u001B[${on}m${text}\u001B[${off}m`
const plain = (text: string): string => text

/** Weight rather than hue: bold, faint, and magenta for what needs a person. Without colour the words alone carry it. */
export const inkOf = (colour: boolean): Ink =>
  colour
    ? { strong: escape(1, 22), quiet: escape(2, 22), alert: escape(35, 39) }
    : { strong: plain, quiet: plain, alert: plain }
