import type { Stage } from '../../jobs/progress.js'
import { visibleText } from '../../terms/visible-text.js'
import type { Terminal } from '../terminal.js'
import type { VisibleProgress } from './bar.js'
import { placeText } from './time-left.js'

const TELL_EVERY_MS = 10_000

/** For logs and pipes: a line per stage, and one every ten seconds in a long one. */
export const plainProgress = (terminal: Terminal): VisibleProgress => {
  let stage: Stage | null = null
  let doneSeconds = 0
  let toldAt = 0
  let before = ''

  const tell = (what: string) => {
    toldAt = performance.now()
    terminal.write(`${visibleText(what)}\n`)
  }
  return {
    stage(next) {
      stage = next
      doneSeconds = 0
      tell(`${before}${next.song}: ${next.doing}`)
    },
    advance(audioSeconds) {
      doneSeconds += audioSeconds
      if (stage === null || performance.now() - toldAt < TELL_EVERY_MS) return
      tell(`${stage.song}: ${stage.doing}, ${shareText(stage, doneSeconds)}`)
    },
    end() {
      stage = null
    },
    hide: () => undefined,
    place(place) {
      before = `${placeText(place, 0)}: `
    },
  }
}

const shareText = (stage: Stage, doneSeconds: number): string => {
  const whole = stage.audioSeconds
  if (whole === null || whole <= 0) return `${Math.round(doneSeconds)} s of audio done`
  return `${Math.floor(Math.min(0.99, doneSeconds / whole) * 100)} %`
}
