import type { Stage } from '../../jobs/progress.js'
import { visibleText } from '../../terms/visible-text.js'
import type { Terminal } from '../terminal.js'
import type { VisibleProgress } from './bar.js'
import { songsProgress } from './songs-progress.js'
import { leftText } from './time-left.js'

const TELL_EVERY_MS = 10_000

/** For logs and pipes: a line per stage, and one every ten seconds in a long one. */
export const plainProgress = (terminal: Terminal): VisibleProgress => {
  let stage: Stage | null = null
  let doneSeconds = 0
  let toldAt = 0

  const tell = (what: string) => {
    toldAt = performance.now()
    terminal.write(`${visibleText(what)}\n`)
  }
  const isLongAgo = () => performance.now() - toldAt >= TELL_EVERY_MS
  return {
    stage(next) {
      stage = next
      doneSeconds = 0
      tell(`${next.song}: ${next.doing}`)
    },
    advance(audioSeconds) {
      doneSeconds += audioSeconds
      if (stage !== null && isLongAgo())
        tell(`${stage.song}: ${stage.doing}, ${shareText(stage, doneSeconds)}`)
    },
    end() {
      stage = null
    },
    hide: () => undefined,
    songs(works, writes) {
      const songs = songsProgress(works, writes, (what, song) => {
        const { of, ended, share, secondsLeft } = songs.whole()
        const before = of < 2 ? '' : `${ended} of ${of} done: `
        if (what === 'stage' && song !== null) tell(`${before}${song.stage.song}: ${song.stage.doing}`)
        if (what !== 'advance' || song === null || !isLongAgo()) return
        const left = leftText(secondsLeft)
        const whole = `${Math.floor(100 * (share ?? 0))} %${left === '' ? '' : `, ${left}`}`
        tell(`${before}${song.stage.song}: ${song.stage.doing}, ${whole}`)
      })
      return songs
    },
  }
}

const shareText = (stage: Stage, doneSeconds: number): string => {
  const whole = stage.audioSeconds
  if (whole === null || whole <= 0) return `${Math.round(doneSeconds)} s of audio done`
  return `${Math.floor(Math.min(0.99, doneSeconds / whole) * 100)} %`
}
