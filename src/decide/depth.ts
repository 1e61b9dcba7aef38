import type { Depth, Session } from '../recipe/session.js'

/**
 * Word length of all stems of a song: what the recipe says; else the deepest integer source, at least 24 bit. Floats are delivered as
 * floats only where the recipe asks for `32f`: what comes out of a float file without being asked has 24 bit.
 */
export const depthOf = (session: Session): Depth => {
  if (session.deliver.depth !== null) return session.deliver.depth
  const integers = session.groups
    .flatMap(group => group.sources)
    .flatMap(source =>
      source.kind === 'file' && source.facts.sampleFormat === 'int' ? [source.facts.bitDepth] : [],
    )
  return Math.max(24, ...integers) > 24 ? 32 : 24
}

/** Bits of an integer depth, null for floats. */
export const integerBits = (depth: Depth): 16 | 24 | 32 | null => (depth === '32f' ? null : depth)
