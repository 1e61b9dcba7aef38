import type { Chance } from './chance.js'

/** What became of an input: it was taken, or refused with faults. Anything else is a finding. */
export type Verdict = 'read' | 'refused'

/** One thing that reads what others wrote. */
export interface Target {
  readonly name: string
  /** How the inputs are stored: `.wav`, `.yaml`, … */
  readonly ending: string
  /** Share of the time of a run over all targets. */
  readonly share: number
  /** An input made by chance. */
  make(chance: Chance): Uint8Array
  /**
   * Gives an input to the program in process.
   * @throws where the program crashed, blamed itself, said something that no person can read, or wrote where it may not
   */
  try(input: Uint8Array): Promise<Verdict>
  /** Removes its folder. */
  close(): void
}
