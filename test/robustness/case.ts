import type { Ground } from './ground.js'

/** How the command is run, where not in the ordinary way. */
export interface Manner {
  readonly environment?: Readonly<Record<string, string>>
  /** As somebody who is not the owner of the files; only where the tests run as the superuser. */
  readonly asStranger?: boolean
  /** By a shell, in which `sumwell` is the built command: for pipes and closed streams. */
  readonly inShell?: boolean
  /** Called once, when this stands on stderr. */
  readonly when?: {
    readonly stderr: string
    readonly act: (ground: Ground, kill: (signal: NodeJS.Signals) => void) => void
  }
}

/** One bad input: what it is, how it comes about, the call, and what must come of it. */
export interface RobustCase extends Manner {
  /** In a few words, for the page. */
  readonly what: string
  /** Puts the input there, beside a good song (`song.yaml`, two recordings in `audio`). */
  set?(ground: Ground): void
  /** As somebody would type it. */
  readonly call: string
  readonly exit: number
  /** Codes of faults and warnings that must be told; none of them INTERNAL unless it stands here. */
  readonly codes?: readonly string[]
  /** What must stand in what is printed; the page shows it. Without it the page shows the first code with its sentence. */
  readonly says?: RegExp
  /** What may be there afterwards that was not before, or be another; nothing where left out. Recordings never change. */
  readonly writes?: RegExp
  /** Looks at what was left. */
  after?(ground: Ground): void
}

/** What became of a case. */
export interface RobustOutcome {
  readonly said: string
  readonly exit: number | null
  readonly text: string
  /** Codes that were told. */
  readonly codes: readonly string[]
}

/** A part of the page. */
export interface RobustArea {
  readonly name: string
  readonly title: string
  readonly cases: readonly RobustCase[]
}
