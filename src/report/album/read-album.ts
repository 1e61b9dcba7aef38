import { fault, SumwellError } from '../../terms/fault.js'
import { NotPlain, readPlain } from '../../terms/plain-file.js'
import validate from '../generated/album-validator.js'
import type { Album } from './album.js'

const MOST_BYTES = 512 * 2 ** 20

/**
 * An `album.json` or the summary of a shard, checked against its schema before it is believed.
 * @throws SumwellError REPORT_UNREADABLE
 */
export const readAlbum = (file: string): Album => {
  const unreadable = (message: string): SumwellError =>
    new SumwellError(
      fault('REPORT_UNREADABLE', message, {
        file,
        expected: 'the album.json, or the summary of a shard, that "sumwell render" wrote',
        mend: 'render again, or leave it out',
      }),
    )
  let value: unknown
  try {
    value = JSON.parse(readPlain(file, MOST_BYTES).toString('utf8'))
  } catch (error) {
    if (error instanceof NotPlain) throw unreadable(`it ${error.message}`)
    throw unreadable(error instanceof SyntaxError ? 'it is not JSON' : 'it cannot be read')
  }
  if (!validate(value)) {
    const [first] = validate.errors ?? []
    throw unreadable(`it is no summary of ours: ${first?.instancePath ?? ''} ${first?.message ?? ''}`)
  }
  return value as Album
}
