import type { Progress, Stage } from '../../jobs/progress.js'
import { inkOf } from '../../report/terminal/ink.js'
import { shortened } from '../../terms/text-width.js'
import { visibleText } from '../../terms/visible-text.js'
import type { Terminal } from '../terminal.js'
import { type Place, placeText } from './time-left.js'

const REDRAW_EVERY_MS = 80
const BAR_COLUMNS = 24
/** Of what can be done: the bar stays in its place from stage to stage. */
const LONGEST_DOING = 18
const ERASE = '\r\u001b[K'

/** A progress that shares its line with other output: whoever prints takes it away first; it comes back by itself. */
export interface VisibleProgress extends Progress {
  hide(): void
  /** Of several songs this one is begun. */
  place(place: Place): void
}

/** One line at the foot of a terminal: song, what is done, bar, percent. It leaves nothing behind. */
export const progressBar = (terminal: Terminal): VisibleProgress => {
  let stage: Stage | null = null
  let doneSeconds = 0
  let drawnAt = -Infinity
  let shown = false
  let place: Place | null = null
  let placedAt = 0

  const hide = () => {
    if (shown) terminal.write(ERASE)
    shown = false
  }
  const whereabouts = () => placeText(place, (performance.now() - placedAt) / 1000)
  const draw = () => {
    if (stage === null) return
    drawnAt = performance.now()
    shown = true
    terminal.write(ERASE + barLine(stage, doneSeconds, terminal.width() - 1, terminal.colour, whereabouts()))
  }
  return {
    stage(next) {
      stage = next
      doneSeconds = 0
      draw()
    },
    advance(audioSeconds) {
      doneSeconds += audioSeconds
      if (performance.now() - drawnAt >= REDRAW_EVERY_MS) draw()
    },
    end() {
      stage = null
      hide()
    },
    hide,
    place(next) {
      place = next
      placedAt = performance.now()
    },
  }
}

/** The line, never longer than `columns`. The estimate may be short of the truth: 99 % is the most until the stage is over. */
export const barLine = (
  stage: Stage,
  doneSeconds: number,
  columns: number,
  colour: boolean,
  where = '',
): string => {
  const words = `${where === '' ? '' : `${where}  `}${visibleText(stage.song)}  ${stage.doing.padEnd(LONGEST_DOING)}`
  if (stage.audioSeconds === null || stage.audioSeconds <= 0)
    return shortened(`${words.trimEnd()} …`, columns)
  const share = Math.min(0.99, doneSeconds / stage.audioSeconds)
  const filled = Math.round(share * BAR_COLUMNS)
  const tail = `${Math.floor(share * 100)} %`.padStart(5)
  const room = columns - BAR_COLUMNS - tail.length - 3
  if (room < 10) return shortened(`${words} ${tail}`, columns)
  const bar = '■'.repeat(filled) + inkOf(colour).quiet('·'.repeat(BAR_COLUMNS - filled))
  return `${shortened(words, room)}  ${bar} ${tail}`
}
