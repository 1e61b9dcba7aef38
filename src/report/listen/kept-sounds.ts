import { createHash } from 'node:crypto'
import { readPlainIfThere } from '../../terms/plain-file.js'
import type { Report } from '../report.js'
import type { SoundBytes } from './listen.js'

/** What a page of this report holds of the recordings, in the order in which it stands there: group by group. */
export const heldIn = ({ groups }: Report): readonly { readonly id: string; readonly sha256: string }[] =>
  groups.flatMap(({ listen, waveform }) => [...(listen?.sounds ?? []), ...(waveform?.sources ?? [])])

/**
 * The sounds and waveforms that a page of this report holds, taken out of it; null where the page is gone, or holds others than the report says,
 * to the last bit. A report without them has none, which is not missing.
 */
export const keptSounds = (page: string, report: Report): SoundBytes | null => {
  const wanted = heldIn(report)
  if (wanted.length === 0) return new Map()
  const text = readPlainIfThere(page, MOST_BYTES)
  if (text === null) return null
  const sounds = new Map<string, Uint8Array>()
  for (const { id, sha256 } of wanted) {
    const bytes = soundIn(text, id)
    if (bytes === null || createHash('sha256').update(bytes).digest('hex') !== sha256) return null
    sounds.set(id, bytes)
  }
  return sounds
}

/** Far more than the passages of a hundred sources. */
const MOST_BYTES = 2 ** 30

const soundIn = (page: Buffer, id: string): Uint8Array | null => {
  const tag = `<script type="application/octet-stream" id="${id}">`
  const at = page.indexOf(tag)
  const end = at < 0 ? -1 : page.indexOf('</script>', at)
  return end < 0 ? null : Buffer.from(page.toString('latin1', at + tag.length, end), 'base64')
}
