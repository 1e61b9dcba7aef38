import type { Progress, Stage } from '../../jobs/progress.js'
import { inkOf } from '../../report/terminal/ink.js'
import { padded, shortened, textWidth } from '../../terms/text-width.js'
import { visibleText } from '../../terms/visible-text.js'
import type { Terminal } from '../terminal.js'
import { type SongsProgress, songsProgress, type Whole } from './songs-progress.js'
import { leftText } from './time-left.js'

const REDRAW_EVERY_MS = 80
const BAR_COLUMNS = 24
/** Of what can be done: the bar stays in its place from stage to stage. */
const LONGEST_DOING = 18
/** The same where several songs are at work. */
const SEVERAL_COLUMNS = 52
const ERASE = '\r\u001b[K'

/** A progress that shares its line with other output: whoever prints takes it away first; it comes back by itself. */
export interface VisibleProgress extends Progress {
  hide(): void
  /** All songs of a call, told in one place; `writes`: they are rendered. */
  songs(works: readonly number[], writes: boolean): SongsProgress
}

/** One line at the foot of a terminal: song, what is done, bar, percent, time left. It leaves nothing behind. */
export const progressBar = (terminal: Terminal): VisibleProgress => {
  let line: ((columns: number) => string) | null = null
  let stage: Stage | null = null
  let doneSeconds = 0
  let drawnAt = -Infinity
  let shown = false

  const hide = () => {
    if (shown) terminal.write(ERASE)
    shown = false
  }
  const draw = () => {
    if (line === null) return
    drawnAt = performance.now()
    shown = true
    terminal.write(ERASE + line(terminal.width() - 1))
  }
  const drawSometimes = () => {
    if (performance.now() - drawnAt >= REDRAW_EVERY_MS) draw()
  }
  return {
    stage(next) {
      stage = next
      doneSeconds = 0
      line = columns => barLine(stage!, doneSeconds, columns, terminal.colour)
      draw()
    },
    advance(audioSeconds) {
      doneSeconds += audioSeconds
      drawSometimes()
    },
    end() {
      line = null
      hide()
    },
    hide,
    songs(works, writes) {
      const songs = songsProgress(works, writes, what => {
        line = columns => wholeLine(songs.whole(), columns, terminal.colour)
        if (what === 'advance') drawSometimes()
        else draw()
      })
      return songs
    },
  }
}

/** The line of one stage, never longer than `columns`. The estimate may be short of the truth: 99 % is the most until the stage is over. */
export const barLine = (stage: Stage, doneSeconds: number, columns: number, colour: boolean): string => {
  const words = `${visibleText(stage.song)}  ${stage.doing.padEnd(LONGEST_DOING)}`
  if (stage.audioSeconds === null || stage.audioSeconds <= 0)
    return shortened(`${words.trimEnd()} …`, columns)
  return withBar(words, doneSeconds / stage.audioSeconds, '', columns, colour)
}

/** The line of a whole call: of one song its stage, of several how many are done and what is at work. */
export const wholeLine = (whole: Whole, columns: number, colour: boolean): string => {
  const { atWork, of, ended, share, secondsLeft } = whole
  const [first, ...more] = atWork
  const doing = first === undefined ? '' : `${visibleText(first.stage.song)}  ${first.stage.doing}`
  const words =
    of < 2
      ? doing.padEnd(doing.length - (first?.stage.doing.length ?? 0) + LONGEST_DOING)
      : padded(
          `${ended} of ${of} done  ${doing}${more.length === 0 ? '' : `, and ${more.length} more`}`,
          SEVERAL_COLUMNS,
        )
  return withBar(words, share ?? 0, leftText(secondsLeft), columns, colour)
}

const withBar = (words: string, done: number, left: string, columns: number, colour: boolean): string => {
  const share = Math.min(0.99, done)
  const filled = Math.round(share * BAR_COLUMNS)
  const tail = `${`${Math.floor(share * 100)} %`.padStart(5)}${left === '' ? '' : `  ${left}`}`
  const room = columns - BAR_COLUMNS - tail.length - 3
  if (room < 10) return shortened(`${words} ${tail}`, columns)
  const bar = '■'.repeat(filled) + inkOf(colour).quiet('·'.repeat(BAR_COLUMNS - filled))
  const shown = shortened(words.trimEnd(), room)
  return `${padded(shown, Math.min(room, textWidth(words)))}  ${bar} ${tail}`
}
