import type { ChannelSelection, FileSource } from '../../recipe/session.js'
import type { Contents } from '../cache/contents.js'
import type { LockedSound } from '../lock.js'

/** Which sound a source is; `file` is the recording that stands for it, and has been looked into. */
export const soundOf = (file: FileSource, contents: Contents): LockedSound => {
  const known = contents.fingerprint(file.file)
  if (known === undefined) throw new Error(`${file.fileShown} was not looked into`)
  return { ...known, channel: channelText(file.selection) }
}

const channelText = (selection: ChannelSelection): string =>
  selection.kind === 'pick' ? String(selection.index + 1) : selection.kind

/** The same sound, whatever its metadata. */
export const sameSound = (a: LockedSound, b: LockedSound): boolean =>
  a.audioSha256 === b.audioSha256 && a.format === b.format && a.channel === b.channel
