import { dirname, resolve } from 'node:path'
import { SumwellError } from '../../terms/fault.js'
import type { LocatedScalar } from '../located.js'
import type { WaveFacts } from '../session.js'
import type { MeaningContext } from './context.js'
import { filledIn } from './placeholder-check.js'

/** A recording that a recipe names. */
export interface FoundFile {
  readonly absolute: string
  /** The path as written, placeholders filled in. */
  readonly shown: string
  /** The same for two files exactly if they are one. */
  readonly identity: string | null
  /** Null where it could not be looked at; the reason was reported. */
  readonly facts: WaveFacts | null
}

/** Finds the recording that a text names, and reports why it cannot be used. `probes` remembers files named several times. */
export const sourceFile = (
  scalar: LocatedScalar,
  context: MeaningContext,
  probes: Map<string, WaveFacts | SumwellError>,
): FoundFile => {
  const { tree, faults } = context
  const shown = filledIn(scalar, String(scalar.value), 'kept', context)
  const absolute = resolve(dirname(scalar.at.source.path), shown)
  const lost: FoundFile = { absolute, shown, identity: null, facts: null }
  if (faults.toldAt(scalar.at) || /\{[^{}]*\}/.test(shown)) return lost

  if (!tree.holds(absolute)) {
    faults.add('RECIPE_OUTSIDE', `${shown} lies outside the folder of the recipe`, scalar.at, {
      expected: "a file in the recipe's folder or below it",
      mend: 'move the file there, or allow it with --allow-outside',
    })
    return lost
  }
  const kind = tree.files.kindOf(absolute)
  if (kind !== 'file') {
    const nearest = kind === 'missing' ? tree.nearestFile(absolute, shown) : null
    const why = {
      missing: 'is not there',
      folder: 'is a folder',
      other: 'is no file',
      unreadable: 'may not be read',
    }
    faults.add('RECIPE_FILE_MISSING', `${shown} ${why[kind]}`, scalar.at, {
      expected: `a WAVE file at ${absolute}`,
      nearest,
      mend:
        nearest === null
          ? 'check the path; it is relative to the file in which it is written'
          : `write ${nearest}`,
    })
    return lost
  }
  const identity = tree.files.identityOf(absolute)
  const known = probes.get(absolute) ?? probed(absolute, context)
  probes.set(absolute, known)
  if (!(known instanceof SumwellError)) return { absolute, shown, identity, facts: known }
  const { source, start, end } = scalar.at
  for (const found of known.faults)
    faults.take({ ...found, place: source.place(start, end), file: source.shown })
  return { absolute, shown, identity, facts: null }
}

const probed = (absolute: string, context: MeaningContext): WaveFacts | SumwellError => {
  try {
    return context.probe(absolute).facts
  } catch (cause) {
    if (cause instanceof SumwellError) return cause
    throw cause
  }
}
