/** What is being done for which song, and about how much audio it will work through (null where that is not known). */
export interface Stage {
  readonly song: string
  readonly doing:
    | 'reading the files'
    | 'comparing files'
    | 'checking'
    | 'measuring'
    | 'measuring takes'
    | 'planning'
    | 'rendering'
    | 'comparing the tone'
    | 'writing the report'
    | 'verifying'
  readonly audioSeconds: number | null
}

/** Hears how a run goes. Nothing depends on what it does with it. */
export interface Progress {
  stage(stage: Stage): void
  /** So many more seconds of audio of the present stage are done. */
  advance(audioSeconds: number): void
  /** The last stage is over. Safe to call twice. */
  end(): void
}

export const silentProgress: Progress = {
  stage: () => undefined,
  advance: () => undefined,
  end: () => undefined,
}
