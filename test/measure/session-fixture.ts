import { mkdtempSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type {
  Align,
  ChannelSelection,
  FileSource,
  Session,
  SessionGroup,
  SessionSource,
} from '../../src/recipe/session.js'
import { probeWave } from '../../src/wave/probe.js'
import { createWave } from '../../src/wave/wave-writer.js'

export const FIXTURE_RATE_HZ = 48000

const folder = mkdtempSync(join(tmpdir(), 'sumwell-measure-'))
let count = 0

/** A 32-bit float file of these channels in a temporary folder, as a source of a session. */
export const fileSource = (
  name: string,
  planar: readonly Float64Array[],
  more: Partial<FileSource> & { stampSamples?: number | null; sampleRateHz?: number } = {},
): FileSource => {
  const { stampSamples = null, sampleRateHz = FIXTURE_RATE_HZ, ...given } = more
  const file = join(folder, `${name}-${count++}.wav`)
  const writer = createWave({
    path: file,
    sampleRateHz,
    channels: planar.length,
    frames: planar[0]!.length,
    depth: '32f',
    metadata: {
      description: name,
      stampSamples,
      originator: 'Sumwell',
      codingHistory: [],
    },
  })
  writer.write(
    planar.map(samples => samples.map(Math.fround)),
    planar[0]!.length,
  )
  writer.commit()
  const selection: ChannelSelection = { kind: 'all' }
  return {
    kind: 'file',
    name,
    file,
    fileShown: `audio/${name}.wav`,
    via: null,
    selection,
    facts: probeWave(file).facts,
    polarity: 'measured',
    lag: 'measured',
    nudgeSamples: 0,
    distanceMetres: null,
    slate: null,
    ...given,
  }
}

export const ALIGN: Align = {
  aim: 'arrival',
  searchSeconds: 0.04,
  passage: null,
  hold: 'reference',
  resolution: 'fraction',
  follow: 'nothing',
  slate: false,
}

export const group = (
  name: string,
  reference: string,
  sources: readonly SessionSource[],
  align: Partial<Align> = {},
  sampleRateHz = FIXTURE_RATE_HZ,
): SessionGroup => ({
  name,
  reference,
  sampleRateHz,
  sources,
  align: { ...ALIGN, ...align },
  setup: null,
  blends: [],
})

export const session = (groups: readonly SessionGroup[]): Session => ({
  recipeFile: join(folder, 'recipe.yaml'),
  recipeShown: 'recipe.yaml',
  song: 'Fixture',
  take: null,
  tempoBpm: null,
  beatsInBar: 4,
  temperatureCelsius: 20,
  groups,
  deliver: {
    folder: join(folder, 'stems'),
    depth: null,
    stems: 'all',
    ceilingDbtp: -1,
    nameTemplate: '{song}_{stem}',
    report: { listen: null, dated: false },
  },
})
