import fs from 'node:fs'
import type { Store } from './store.js'

/** What tells, without looking into a file, that nobody wrote to it. Text, since nanoseconds do not fit a number. */
interface State {
  readonly device: string
  readonly inode: string
  readonly bytes: string
  readonly modifiedNs: string
  /** Time of the last change of anything, rights and names too: a program can set the other one back, this one not. */
  readonly changedNs: string
}

interface Known<Value> extends FileMark {
  readonly value: Value
}

/** Remembers what the files of this machine hold, by size, times and inode. */
export interface FileMemory<Value> {
  /** What the file under a path holds, if it is surely the one that was looked into; null where it has to be looked into. */
  recall(file: string): Value | null
  /** Call with what `recall`'s maker found, and with the state from before it was made. */
  remember(file: string, before: FileMark, value: Value): void
  /** The state of a file now, to hand to `remember`; null where there is none. */
  mark(file: string): FileMark | null
}

/** The state of a file at a moment. */
export interface FileMark {
  readonly state: State
  readonly seenMs: number
}

/** A disk whose times are this fine tells two writes apart that lie further from each other than a tick of its clock. */
const FINE_TICK_MS = 50
/** Others count in seconds, some in two. */
const COARSE_TICK_MS = 2000

const stateOf = (file: string): State | null => {
  try {
    const stats = fs.statSync(file, { bigint: true })
    if (!stats.isFile()) return null
    return {
      device: String(stats.dev),
      inode: String(stats.ino),
      bytes: String(stats.size),
      modifiedNs: String(stats.mtimeNs),
      changedNs: String(stats.ctimeNs),
    }
  } catch {
    return null
  }
}

/** False where the file was written to so shortly before it was looked into that another write would show the same times. */
const isSettled = ({ modifiedNs, changedNs }: State, seenMs: number): boolean => {
  const last = [modifiedNs, changedNs].map(BigInt).reduce((a, b) => (a > b ? a : b))
  const tick = last % 1_000_000n === 0n ? COARSE_TICK_MS : FINE_TICK_MS
  return seenMs - Number(last / 1_000_000n) > tick
}

const same = (a: State, b: State): boolean =>
  a.device === b.device &&
  a.inode === b.inode &&
  a.bytes === b.bytes &&
  a.modifiedNs === b.modifiedNs &&
  a.changedNs === b.changedNs

/** Whether nobody has written to a file since. */
export const isUnchanged = (file: string, before: FileMark): boolean => {
  const now = stateOf(file)
  return now !== null && same(before.state, now)
}

/**
 * @param store null: nothing is remembered
 * @param kind What is known of a file: one word
 * @param believed False: what is remembered is not believed, only renewed (`--verify-sources`)
 */
export const fileMemory = <Value>(
  store: Store | null,
  kind: string,
  believed: boolean,
): FileMemory<Value> => ({
  recall: file => {
    if (store === null || !believed) return null
    const known = store.get(keyOf(kind, file))?.value
    if (!isKnown<Value>(known)) return null
    const now = stateOf(file)
    if (now === null) return null
    return same(known.state, now) && isSettled(now, known.seenMs) ? known.value : null
  },
  mark: file => {
    const state = stateOf(file)
    return state === null ? null : { state, seenMs: Date.now() }
  },
  remember: (file, before, value) => {
    if (store === null || !isUnchanged(file, before)) return
    const known: Known<Value> = { ...before, value }
    store.put(keyOf(kind, file), known)
  },
})

/** What a cache that others write to may hold under our key is looked at before it is believed. */
const isKnown = <Value>(found: unknown): found is Known<Value> => {
  if (typeof found !== 'object' || found === null) return false
  const { state, seenMs, value } = found as { state?: unknown; seenMs?: unknown; value?: unknown }
  return typeof state === 'object' && state !== null && typeof seenMs === 'number' && value !== undefined
}

const keyOf = (kind: string, file: string): string => `file ${kind} 1\n${file}`
