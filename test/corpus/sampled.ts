import { execFileSync, spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { midiFile, type PlayedNote } from './midi-file.js'
import { random } from './random.js'
import { corpusCache, decoded, RECORDING_RATE_HZ } from './recordings.js'

/*
 * Phrases on sampled instruments: the sound font of Debian's package `fluid-soundfont-gm` (MIT, as its copyright file states), played by its
 * package `fluidsynth`. Each is a line of notes as a player would play it, every one another pitch and strength.
 */

/** How an instrument is played: program of General MIDI level 1 (from memory), compass as MIDI notes, seconds from note to note and held. */
interface Instrument {
  readonly program: number
  readonly lowest: number
  readonly highest: number
  readonly stepSeconds: number
  readonly holdSeconds: number
}

const INSTRUMENTS = {
  piano: { program: 0, lowest: 36, highest: 84, stepSeconds: 0.4, holdSeconds: 0.9 },
  vibraphone: { program: 11, lowest: 53, highest: 84, stepSeconds: 0.4, holdSeconds: 0.8 },
  marimba: { program: 12, lowest: 45, highest: 84, stepSeconds: 0.3, holdSeconds: 0.3 },
  organ: { program: 16, lowest: 36, highest: 72, stepSeconds: 0.5, holdSeconds: 0.5 },
  nylon_guitar: { program: 24, lowest: 40, highest: 76, stepSeconds: 0.3, holdSeconds: 0.6 },
  steel_guitar: { program: 25, lowest: 40, highest: 76, stepSeconds: 0.25, holdSeconds: 0.6 },
  overdriven_guitar: { program: 29, lowest: 40, highest: 64, stepSeconds: 0.35, holdSeconds: 0.3 },
  upright_bass: { program: 32, lowest: 28, highest: 48, stepSeconds: 0.4, holdSeconds: 0.5 },
  finger_bass: { program: 33, lowest: 28, highest: 48, stepSeconds: 0.3, holdSeconds: 0.28 },
  violin: { program: 40, lowest: 55, highest: 88, stepSeconds: 0.5, holdSeconds: 0.5 },
  cello: { program: 42, lowest: 36, highest: 67, stepSeconds: 0.6, holdSeconds: 0.6 },
  trumpet: { program: 56, lowest: 54, highest: 79, stepSeconds: 0.4, holdSeconds: 0.35 },
  alto_sax: { program: 65, lowest: 49, highest: 77, stepSeconds: 0.4, holdSeconds: 0.38 },
  flute: { program: 73, lowest: 60, highest: 91, stepSeconds: 0.4, holdSeconds: 0.4 },
  banjo: { program: 105, lowest: 48, highest: 76, stepSeconds: 0.15, holdSeconds: 0.3 },
} as const satisfies Record<string, Instrument>

export type SampledName = keyof typeof INSTRUMENTS
export const SAMPLED = Object.keys(INSTRUMENTS) as readonly SampledName[]

/** Each instrument has so many phrases. */
export const PHRASES = 4
export const PHRASE_SECONDS = 9

const SOUND_FONT = '/usr/share/sounds/sf2/FluidR3_GM.sf2'

/** Null where sampled instruments can be played here, else what is missing and how to get it. */
export const sampledMissing: string | null =
  existsSync(SOUND_FONT) && spawnSync('fluidsynth', ['--version']).error === undefined
    ? null
    : 'sampled instruments need `apt-get install fluidsynth fluid-soundfont-gm`'

/**
 * One phrase of `PHRASE_SECONDS`, `phrase` from 0 to `PHRASES - 1`: mean of both sides, peak 0.5, at 44.1 kHz, without the player's reverberation
 * and chorus. Rendered once and kept under node_modules/.cache. @throws Error where a package is missing
 */
export const sampledPhrase = (name: SampledName, phrase: number): Float64Array =>
  decoded(`sampled_${name}_${phrase}`, () => {
    if (sampledMissing !== null) throw new Error(sampledMissing)
    mkdirSync(corpusCache, { recursive: true })
    const part = join(corpusCache, `sampled_${name}_${phrase}.${process.pid}`)
    const notes = `${part}.mid`
    writeFileSync(notes, midiFile(INSTRUMENTS[name].program, phraseOf(name, phrase)))
    const options = ['-n', '-i', '-q', '-r', String(RECORDING_RATE_HZ), '-R', '0', '-C', '0']
    execFileSync('fluidsynth', [...options, '-O', 's24', '-F', `${part}.wav`, SOUND_FONT, notes], {
      stdio: 'ignore',
    })
    rmSync(notes)
    const wave = join(corpusCache, `sampled_${name}_${phrase}.wav`)
    renameSync(`${part}.wav`, wave)
    return wave
  })

/** A line that wanders by steps and leaps within the compass, uneven in time and strength. */
const phraseOf = (name: SampledName, phrase: number): PlayedNote[] => {
  const { lowest, highest, stepSeconds, holdSeconds }: Instrument = INSTRUMENTS[name]
  const u = random(`phrase ${name} ${phrase}`)
  const notes: PlayedNote[] = []
  let note = lowest + Math.floor(u() * (highest - lowest + 1))
  for (let at = 0.05 + 0.05 * u(); at < PHRASE_SECONDS - 0.5; at += stepSeconds * (0.6 + 0.8 * u())) {
    notes.push({
      note,
      atSeconds: at,
      seconds: holdSeconds * (0.7 + 0.6 * u()),
      velocity: 60 + Math.floor(60 * u()),
    })
    const leap = Math.round(14 * (u() - 0.5))
    note = Math.min(highest, Math.max(lowest, note + (leap === 0 ? 2 : leap)))
  }
  return notes
}
