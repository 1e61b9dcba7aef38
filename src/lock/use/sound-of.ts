import { laidFrames } from '../../recipe/pieces/piece-layout.js'
import type { ChannelSelection, FileSource } from '../../recipe/session.js'
import { laidSha256 } from '../../wave/laid-hash.js'
import type { Contents } from '../cache/contents.js'
import type { LockedSound } from '../lock.js'

/** Which sound a source is; `file` is the recording that stands for it, and has been looked into. */
export const soundOf = (file: FileSource, contents: Contents): LockedSound => {
  const known = (one: string) => {
    const fingerprint = contents.fingerprint(one)
    if (fingerprint === undefined) throw new Error(`${file.fileShown} was not looked into`)
    return fingerprint
  }
  const channel = channelText(file.selection)
  const { laid } = file.selection
  if (laid === undefined) return { ...known(file.file), channel }
  const formats = [
    ...new Set(laid.pieces.map(piece => known(piece.file).format.replace(/, \d+ frames$/, ''))),
  ]
  return {
    sha256: laidSha256(laid, one => known(one).sha256),
    audioSha256: laidSha256(laid, one => known(one).audioSha256),
    format: `${laid.pieces.length} pieces, ${formats.join(' and ')}, ${laidFrames(laid)} frames`,
    channel,
  }
}

const channelText = (selection: ChannelSelection): string =>
  selection.kind === 'pick' ? String(selection.index + 1) : selection.kind

/** The same sound, whatever its metadata. */
export const sameSound = (a: LockedSound, b: LockedSound): boolean =>
  a.audioSha256 === b.audioSha256 && a.format === b.format && a.channel === b.channel
