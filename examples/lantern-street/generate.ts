import { mkdirSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { TpdfQuantiser } from '../../src/signal/dither.js'
import { writeWhole } from '../../src/wave/atomic-file.js'
import { createWave } from '../../src/wave/wave-writer.js'
import { TEMPERATURE_CELSIUS } from './air.js'
import { SONG_SECONDS } from './score.js'
import { RATE } from './sound.js'
import { makeTracks, type Take, type Track } from './tracks.js'

/** Makes the audio of the demo song: seven files of 48 kHz, 24 bit, the same bytes every time, and truth.json beside them. */

/** The recorder's clock at the first frame: 10:12:30. */
const STAMP_SAMPLES = (10 * 3600 + 12 * 60 + 30) * RATE

const writeTrack = (folder: string, take: Take, track: Track): void => {
  new TpdfQuantiser(24, 1, `lantern street ${track.file}`).quantise([track.audio], track.audio.length)
  const writer = createWave({
    path: `${folder}/${track.file}`,
    sampleRateHz: RATE,
    channels: 1,
    frames: track.audio.length,
    depth: 24,
    metadata: {
      description: `Lantern Street, take ${take}: ${track.group}, ${track.source}`,
      originator: 'Sumwell',
      stampSamples: STAMP_SAMPLES,
      codingHistory: [],
    },
  })
  try {
    writer.write([track.audio], track.audio.length)
    writer.commit()
  } finally {
    writer.discard()
  }
}

const factsOf = (track: Track): Omit<Track, 'audio'> => {
  const { group, source, file, lateFrames, metres, polarity, humHz, clipped } = track
  return { group, source, file, lateFrames, metres, polarity, humHz, clipped }
}

/** @returns the folder that now holds the take. */
export const generate = (take: Take = 4): { folder: string; files: number; seconds: number } => {
  const here = fileURLToPath(new URL('.', import.meta.url))
  const folder = `${here}audio/take-${take}`
  mkdirSync(folder, { recursive: true })
  const tracks = makeTracks(take)
  for (const track of tracks) writeTrack(folder, take, track)
  const truth = {
    song: 'Lantern Street',
    take,
    sampleRateHz: RATE,
    temperatureCelsius: TEMPERATURE_CELSIUS,
    note: 'What was put in: the air path behind the reference of the group, and which way round. Bodies and pickups add their own group delay.',
    sources: tracks.map(factsOf),
  }
  writeWhole(
    `${here}truth${take === 4 ? '' : `-take-${take}`}.json`,
    Buffer.from(`${JSON.stringify(truth, null, 2)}\n`),
  )
  return { folder, files: tracks.length, seconds: SONG_SECONDS }
}
