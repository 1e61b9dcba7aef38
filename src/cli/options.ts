/** Options that every command on recipes takes. */
export interface CommonOptions {
  /** One JSON document on stdout and nothing else there. */
  readonly json: boolean
  /** Only what went wrong is told. */
  readonly quiet: boolean
  /** Threads at most; undefined = as many as there are cores. */
  readonly jobs: number | undefined
  /** What is not sure is an error. */
  readonly strict: boolean
  /** Recordings and targets may lie outside the recipe's folder tree. */
  readonly allowOutside: boolean
  /** False with `--no-color`. */
  readonly color: boolean
}

export interface RenderOptions extends CommonOptions {
  /** Print the plan and write nothing. */
  readonly dryRun: boolean
}
