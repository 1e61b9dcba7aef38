import { join } from 'node:path'
import { openAtomic, writeWhole } from '../wave/atomic-file.js'
import { handoffOf } from './handoff-of.js'
import type { SoundBytes } from './listen/listen.js'
import { pageParts } from './page-of.js'
import type { Report } from './report.js'
import { jsonParts } from './text-parts.js'

export interface WrittenReport {
  readonly json: string
  readonly page: string
  readonly handoff: string
}

/** The text of `report.json`: indented by two spaces, lists of numbers on one line, a line break at its end. */
export const reportJson = (report: Report): string => [...reportParts(report)].join('')

function* reportParts(report: Report): Generator<string> {
  yield* jsonParts(report, 2)
  yield '\n'
}

/**
 * Writes `report.json`, `report.html` and `handoff.md` into the folder of the stems, each whole or not at all.
 * `sounds`: what the page plays; none leaves it silent.
 * Returns the paths. Throws WRITE_FAILED, WRITE_DISK_FULL, WRITE_NOT_ALLOWED.
 */
export const writeReport = (folder: string, report: Report, sounds: SoundBytes): WrittenReport => {
  writeParts(placesOf(folder).json, reportParts(report))
  return drawReport(folder, report, sounds)
}

/** The page and the sheet of a report that lies in the folder already. Throws as `writeReport`. */
export const drawReport = (folder: string, report: Report, sounds: SoundBytes): WrittenReport => {
  const places = placesOf(folder)
  writeParts(places.page, pageParts(report, sounds))
  writeWhole(places.handoff, handoffOf(report))
  return places
}

/** Where they lie in a folder. */
export const placesOf = (folder: string): WrittenReport => ({
  json: join(folder, 'report.json'),
  page: join(folder, 'report.html'),
  handoff: join(folder, 'handoff.md'),
})

/** Text that is turned into bytes at a time. */
const ROOM_BYTES = 1 << 17

const writeParts = (target: string, parts: Iterable<string>): void => {
  const file = openAtomic(target)
  const encoder = new TextEncoder()
  const room = new Uint8Array(ROOM_BYTES)
  try {
    for (const part of parts) {
      for (let rest = part; rest !== ''; ) {
        const { read, written } = encoder.encodeInto(rest, room)
        file.write(room.subarray(0, written))
        rest = rest.slice(read)
      }
    }
    file.commit()
  } finally {
    file.discard()
  }
}
