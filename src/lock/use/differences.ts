import { type Fault, fault } from '../../terms/fault.js'
import { ownValue } from '../../terms/own-value.js'
import type { Lock, LockedPiece, LockedSource, LockedStem } from '../lock.js'
import type { PlannedLock, PlannedStemLock } from './lock-of.js'
import { sameSound } from './sound-of.js'

/** Something that a lock says and that is otherwise now; in the words of the lock. */
interface Difference {
  readonly where: string
  readonly before: string
  readonly now: string
}

const MEND = 'look at what differs; render without --locked to accept it'

/**
 * For `--locked`: everything that a delivery would change in its lock but for who wrote it, one fault each. Other metadata of the same
 * sound are no difference.
 * @param shown The lock, as it is shown.
 */
export const lockFaults = (lock: Lock | null, planned: PlannedLock, shown: string): readonly Fault[] => {
  if (lock === null) {
    return [
      fault('LOCK_DIFFERS', 'there is no lock', {
        file: shown,
        mend: 'render without --locked once, and commit the lock that it writes',
      }),
    ]
  }
  return [...differences(lock, planned)].map(difference => differenceFault(difference, shown))
}

const differenceFault = ({ where, before, now }: Difference, shown: string): Fault =>
  fault('LOCK_DIFFERS', `${where} is ${now}`, {
    file: shown,
    expected: `${before}, as the lock has it`,
    mend: MEND,
  })

function* differences(lock: Lock, now: PlannedLock): Generator<Difference> {
  yield* changed('song', lock.song, now.song)
  yield* changed('take', lock.take, now.take)
  yield* changed('the turn-down of all blends, dB,', lock.turnDown.db, now.turnDown.db)
  for (const [name, before, group] of pairs(lock.groups, now.groups)) {
    if (before === null || group === null) {
      yield* presence(`group ${name}`, before !== null)
      continue
    }
    yield* changed(`the reference of ${name}`, before.reference, group.reference)
    for (const [source, was, is] of pairs(before.sources, group.sources)) {
      if (was === null || is === null) yield* presence(`source ${name}/${source}`, was !== null)
      else yield* sourceDifferences(`${name}/${source}`, was, is)
    }
  }
  for (const [file, was, is] of pairs(lock.stems, now.stems)) {
    if (was === null || is === null) yield* presence(`stem ${file}`, was !== null)
    else yield* stemDifferences(file, was, is)
  }
}

function* sourceDifferences(name: string, was: LockedSource, is: LockedSource): Generator<Difference> {
  if (!sameSound(was, is)) {
    yield {
      where: `the recording of ${name}`,
      before: `${was.format}, ${was.audioSha256.slice(0, 12)}…`,
      now: `${is.format}, ${is.audioSha256.slice(0, 12)}…`,
    }
    return // what follows from it is no news
  }
  yield* changed(`the lag of ${name}, frames,`, was.lagSamples, is.lagSamples)
  yield* changed(`the measured polarity of ${name}`, was.polarity, is.polarity)
  yield* changed(`the verdict on the lag of ${name}`, was.lagVerdict, is.lagVerdict)
  yield* changed(`the verdict on the polarity of ${name}`, was.polarityVerdict, is.polarityVerdict)
  yield* pieceDifferences(name, was.pieces ?? [], is.pieces ?? [])
  yield* changed(`the moves of the pieces of ${name}`, was.move?.pieces, is.move?.pieces)
  yield* changed(`the shift of ${name}, frames,`, was.move?.shiftSamples, is.move?.shiftSamples)
  yield* changed(`the polarity of ${name}`, was.move?.polarity, is.move?.polarity)
  yield* changed(`how ${name} is followed`, was.move?.follow, is.move?.follow)
}

function* pieceDifferences(
  name: string,
  was: readonly LockedPiece[],
  is: readonly LockedPiece[],
): Generator<Difference> {
  const byName = (pieces: readonly LockedPiece[]) =>
    Object.fromEntries(pieces.map(one => [`piece ${one.piece} of ${name}`, one] as const))
  for (const [piece, before, now] of pairs(byName(was), byName(is))) {
    if (before === null || now === null) yield* presence(piece, before !== null)
    else yield* changed(`the lag of ${piece}, frames,`, before.lagSamples, now.lagSamples)
  }
}

function* stemDifferences(file: string, was: LockedStem, is: PlannedStemLock): Generator<Difference> {
  yield* changed(`the length of ${file}, frames,`, was.frames, is.frames)
  yield* changed(`whether ${file} is aligned`, was.aligned, is.aligned)
  for (const [part, before, now] of pairs(was.gains, is.gains)) {
    if (before === null || now === null) yield* presence(`part ${part} of ${file}`, before !== null)
    else yield* changed(`the gain of ${part} in ${file}`, before, now)
  }
}

function* changed(where: string, before: unknown, now: unknown): Generator<Difference> {
  const [was, is] = [before, now].map(value => JSON.stringify(value ?? null)) as [string, string]
  if (was !== is) yield { where, before: plain(was), now: plain(is) }
}

function* presence(where: string, wasThere: boolean): Generator<Difference> {
  yield wasThere ? { where, before: 'there', now: 'not there' } : { where, before: 'not there', now: 'there' }
}

const plain = (json: string): string => (json === 'null' ? 'none' : json.replace(/^"|"$/g, ''))

const pairs = <A, B>(
  before: Readonly<Record<string, A>>,
  now: Readonly<Record<string, B>>,
): readonly (readonly [string, A | null, B | null])[] =>
  [...new Set([...Object.keys(before), ...Object.keys(now)])]
    .sort()
    .map(name => [name, ownValue(before, name) ?? null, ownValue(now, name) ?? null])

/**
 * For `--locked`, when the stems are whole: those whose bytes are others though the files that they were made from are the same.
 * @param now Checksums of the stems by file name.
 */
export const stemFaults = (
  lock: Lock,
  planned: PlannedLock,
  now: ReadonlyMap<string, string>,
  shown: string,
): readonly Fault[] => {
  const sumOf = (
    groups: Readonly<Record<string, { sources: Readonly<Record<string, LockedSource>> }>>,
    part: string,
  ) => {
    const [group = '', source = ''] = part.split('/')
    return ownValue(ownValue(groups, group)?.sources, source)?.sha256
  }
  return [...now].flatMap(([file, sha256]) => {
    const was = lock.stems[file]
    const sameFiles = Object.keys(was?.gains ?? {}).every(
      part => sumOf(lock.groups, part) === sumOf(planned.groups, part),
    )
    if (was === undefined || !sameFiles || was.sha256 === sha256) return []
    return [
      differenceFault(
        {
          where: `the checksum of ${file}`,
          before: `${was.sha256.slice(0, 12)}…`,
          now: `${sha256.slice(0, 12)}…`,
        },
        shown,
      ),
    ]
  })
}
