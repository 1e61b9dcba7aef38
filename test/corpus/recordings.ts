import { execFileSync } from 'node:child_process'
import { existsSync, mkdirSync, readFileSync, renameSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'

/** Recordings that their package states to be CC0: real instruments and rhythms. `loop_amen*` is left out on purpose. */
export const FULL_BAND = [
  'drum_cymbal_soft',
  'drum_roll',
  'drum_snare_hard',
  'drum_snare_soft',
  'drum_splash_soft',
  'drum_tom_hi_hard',
  'drum_tom_mid_hard',
  'drum_cowbell',
  'guit_harmonics',
  'guit_e_fifths',
  'guit_em9',
  'guit_e_slide',
  'loop_tabla',
  'loop_compus',
  'loop_breakbeat',
  'loop_safari',
  'loop_perc1',
  'loop_mehackit1',
  'loop_electric',
  'tabla_ghe5',
  'tabla_ke1',
  'tabla_na',
  'tabla_tun1',
  'perc_door',
  'perc_bell',
  'ambi_piano',
  'misc_crow',
] as const

export const LOW_ONLY = [
  'bass_woodsy_c',
  'drum_bass_hard',
  'drum_bass_soft',
  'bass_thick_c',
  'bass_hit_c',
] as const

export const RECORDING_RATE_HZ = 44100

const require = createRequire(import.meta.url)
const samples = join(dirname(require.resolve('supersonic-scsynth-samples/package.json')), 'samples')
/** Decoded sounds of the corpus are kept here. */
export const corpusCache = join(samples, '..', '..', '.cache', 'sumwell-corpus')
const loaded = new Map<string, Float64Array>()

/** One recording, mean of its channels, peak 0.5, at 44.1 kHz. Decoded by ffmpeg once and kept under node_modules/.cache. */
export const recording = (name: string): Float64Array => decoded(name, () => join(samples, `${name}.flac`))

/** What a file holds, as `recording` gives it, kept by `name`; `find` is only asked for the file where it is not kept yet. */
export const decoded = (name: string, find: () => string): Float64Array => {
  const known = loaded.get(name)
  if (known !== undefined) return known
  const file = join(corpusCache, `${name}.f32`)
  if (!existsSync(file)) {
    mkdirSync(corpusCache, { recursive: true })
    const part = `${file}.${process.pid}.part`
    const rate = String(RECORDING_RATE_HZ)
    execFileSync('ffmpeg', [
      ...['-v', 'error', '-y', '-i', find(), '-ac', '1', '-ar', rate],
      ...['-f', 'f32le', part],
    ])
    renameSync(part, file)
  }
  const bytes = readFileSync(file)
  const floats = new Float32Array(bytes.buffer, bytes.byteOffset, bytes.length / 4)
  let peak = 0
  for (const v of floats) peak = Math.max(peak, Math.abs(v))
  const planar = Float64Array.from(floats, v => (0.5 * v) / peak)
  loaded.set(name, planar)
  return planar
}
