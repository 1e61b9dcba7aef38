import { blindResult, type Question, TURNS } from '../listen/blind-test.js'
import { onClick, one, tell } from './elements.js'

export interface Blind {
  /** Plays one of the two at matched loudness. */
  readonly hear: (take: 'recorded' | 'delivered') => void
  /** The test begins or ends: what would give away the answer is switched off meanwhile. */
  readonly running: (on: boolean) => void
}

/** A coin from the system's own source of chance. */
const heads = (): boolean => (crypto.getRandomValues(new Uint8Array(1))[0]! & 1) === 1

/** The blind test of one desk. What was answered stays in this object and goes with the page. */
export const blindTest = (root: HTMLElement, blind: Blind): void => {
  const turn = one<HTMLElement>(root, '.turn')
  const question = (): Question => one<HTMLInputElement>(root, '[name^="question"]:checked').value as Question
  let done = 0
  let hits = 0
  let deliveredIsA = false
  const press = (letter: string): void => {
    for (const other of ['A', 'B']) {
      one(root, `[data-do="hear${other}"]`).setAttribute('aria-pressed', String(other === letter))
    }
  }
  const hear = (letter: 'A' | 'B'): void => {
    press(letter)
    blind.hear((letter === 'A') === deliveredIsA ? 'delivered' : 'recorded')
  }
  const next = (): void => {
    deliveredIsA = heads()
    tell(root, 'turn', `Turn ${done + 1} of ${TURNS}. Listen as long as you like, then choose.`)
    hear(heads() ? 'A' : 'B')
  }
  const end = (): void => {
    turn.hidden = true
    for (const radio of root.querySelectorAll<HTMLInputElement>('[name^="question"]')) radio.disabled = false
    blind.running(false)
  }
  const answer = (letter: 'A' | 'B'): void => {
    done++
    if ((letter === 'A') === deliveredIsA) hits++
    if (done < TURNS) {
      next()
      return
    }
    tell(root, 'result', blindResult(question(), hits, TURNS))
    end()
  }
  onClick(root, 'blind', () => {
    done = 0
    hits = 0
    tell(root, 'result', '')
    turn.hidden = false
    for (const radio of root.querySelectorAll<HTMLInputElement>('[name^="question"]')) radio.disabled = true
    blind.running(true)
    next()
    one<HTMLButtonElement>(root, '[data-do="hearA"]').focus()
  })
  onClick(root, 'giveUp', () => {
    tell(root, 'result', `Stopped after ${done} turns: too few to tell anything.`)
    end()
  })
  onClick(root, 'hearA', () => {
    hear('A')
  })
  onClick(root, 'hearB', () => {
    hear('B')
  })
  onClick(root, 'takeA', () => {
    answer('A')
  })
  onClick(root, 'takeB', () => {
    answer('B')
  })
}
