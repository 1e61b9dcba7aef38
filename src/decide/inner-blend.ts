import type { Blend, SessionGroup } from '../recipe/session.js'

/** The blend that a group stands for where it is a source of another: its first, or without one all its sources at equal shares. */
export const blendOf = (group: SessionGroup): Blend =>
  group.blends[0] ?? {
    name: group.name,
    match: 'loudness',
    aligned: true,
    parts: group.sources.map(source => ({
      source: source.name,
      kind: 'share',
      share: 1 / group.sources.length,
    })),
  }
