import type { Polarity, Verdict } from '../../measure/measurement.js'
import type { WarningCode } from '../../terms/warning.js'

/**
 * `album.json`, format 1 (schemas/album.schema.json): what became of each song of a call that rendered several. The page is drawn from it
 * alone. Every field is always there, null where it has no value. Paths are relative to the folder in which it lies, with forward slashes.
 */
export interface Album {
  readonly format: 1
  readonly tool: { readonly name: 'sumwell'; readonly version: string }
  readonly made: { readonly at: string | null }
  /** The part of the songs that this run did; null = all of them. */
  readonly shard: { readonly number: number; readonly of: number } | null
  /** In the order of their recipes' paths. */
  readonly songs: readonly AlbumSong[]
}

export interface AlbumSong {
  readonly recipe: string
  /** null where the recipe could not be read. */
  readonly song: string | null
  readonly take: string | null
  readonly state: 'done' | 'failed'
  /** null where it failed. */
  readonly page: string | null
  readonly reportJson: string | null
  readonly groups: readonly AlbumGroup[]
  readonly stems: readonly AlbumStem[]
  readonly warnings: readonly AlbumWarning[]
  readonly faults: readonly { readonly code: string; readonly message: string }[]
  /** A sentence for each thing that is otherwise than in the run before; null where there was none. */
  readonly changes: readonly string[] | null
}

export interface AlbumGroup {
  readonly name: string
  /** The worst of its sources'. */
  readonly verdict: Verdict
  readonly sources: readonly {
    readonly name: string
    /** **Positive: late against the reference.** */
    readonly lagMs: number | null
    readonly polarity: Polarity | null
    readonly verdict: Verdict
  }[]
}

export interface AlbumStem {
  readonly name: string
  readonly sha256: string
  readonly loudnessLufs: number | null
}

export interface AlbumWarning {
  readonly code: WarningCode
  readonly group: string | null
  readonly source: string | null
  readonly message: string
}
