import { existsSync, mkdirSync, writeFileSync } from 'node:fs'
import path from 'node:path'
import { TpdfQuantiser } from '../../src/signal/dither.js'
import { applyDelay, designDelay } from '../../src/signal/fractional-delay.js'
import { seededRandom } from '../../src/signal/random.js'
import { createWave } from '../../src/wave/wave-writer.js'

/** One song for the bench: several microphones around one instrument, as files and as a recipe. */
export interface Material {
  readonly folder: string
  readonly recipe: string
  readonly sources: readonly string[]
  readonly seconds: number
}

const RATE = 48000
const LONGEST_SECONDS = 600
/** All microphones lie within the search of 40 ms. */
const MOST_LATE_SAMPLES = 1700
/** More than these are not blended: nobody does, and every pair of parts is compared for the tone. */
const MOST_BLENDED = 8

/**
 * Plucked notes of eight harmonics, two a second. The same numbers every time.
 * Returned with the mean square of about -20 dBFS.
 */
const performance = (frames: number): Float64Array => {
  const random = seededRandom('bench notes')
  const sound = new Float64Array(frames)
  for (let start = 0; start < frames; start += Math.round(RATE * (0.3 + 0.4 * random()))) {
    const fundamental = 55 * Math.exp(Math.floor(random() * 30) * (Math.LN2 / 12))
    for (let harmonic = 1; harmonic <= 8; harmonic++) {
      // A decaying sine as a recursion of two terms.
      const decay = Math.exp((-3 - harmonic) / RATE)
      const turn = (2 * Math.PI * fundamental * harmonic) / RATE
      const a1 = 2 * decay * Math.cos(turn)
      const a2 = -decay * decay
      let before = 0
      let last = (0.12 / harmonic) * Math.sin(turn)
      const end = Math.min(frames, start + 2 * RATE)
      for (let i = start; i < end; i++) {
        sound[i] = sound[i]! + last
        const next = a1 * last + a2 * before
        before = last
        last = next
      }
    }
    for (let i = start; i < Math.min(frames, start + 400); i++) {
      sound[i] = sound[i]! + 0.3 * (random() - 0.5) * Math.exp((start - i) / 80)
    }
  }
  return sound
}

/** What microphone number `index` hears: later by its own distance, duller, with three reflections and a noise of its own. */
const heardBy = (sound: Float64Array, index: number): Float64Array => {
  const random = seededRandom(`bench microphone ${index}`)
  const lateSamples = index === 0 ? 0 : 12 + ((71.37 * index) % MOST_LATE_SAMPLES)
  const paths = [
    { late: lateSamples, gain: 1 },
    ...[1, 2, 3].map(() => ({ late: lateSamples + 150 + 900 * random(), gain: 0.4 * (random() - 0.5) })),
  ]
  const heard = new Float64Array(sound.length)
  const moved = new Float64Array(sound.length)
  for (const { late, gain } of paths) {
    const whole = Math.floor(late)
    const kernel = designDelay(late - whole, RATE)
    const padded = new Float64Array(sound.length + 2 * kernel.halfLength)
    padded.set(sound.subarray(0, sound.length - whole), kernel.halfLength + whole)
    applyDelay(kernel, padded, moved)
    for (let i = 0; i < heard.length; i++) heard[i] = heard[i]! + gain * moved[i]!
  }
  // From the thirteenth on as at first: a share of 1 and more would be no filter.
  const dull = 0.15 + 0.06 * (index % 12)
  let memory = 0
  for (let i = 0; i < heard.length; i++) {
    memory += (1 - dull) * (heard[i]! - memory)
    heard[i] = memory + 0.0004 * (random() - 0.5)
  }
  return heard
}

const recipeOf = (name: string, microphones: number): string => {
  const names = Array.from({ length: microphones }, (_, m) => `mic-${m + 1}`)
  return [
    'recipe: 1',
    `song: ${name}`,
    'groups:',
    '  instrument:',
    '    reference: mic-1',
    '    sources:',
    ...names.map(mic => `      ${mic}: { file: "${mic}.wav", via: mic }`),
    '    blends:',
    `      all: { parts: { ${names
      .slice(0, MOST_BLENDED)
      .map(mic => `${mic}: 12`)
      .join(', ')} } }`,
    'deliver:',
    '  folder: stems',
    '  depth: 24',
    '  stems: all',
    '',
  ].join('\n')
}

/** Mono, 48 kHz, 24 bit. Made once and kept in `.cache/bench`, outside version control. */
export const material = (microphones: number, seconds: number): Material => {
  const name = `${microphones} x ${seconds} s`
  const folder = path.resolve('.cache/bench', `${microphones}x${seconds}`)
  const sources = Array.from({ length: microphones }, (_, m) => path.join(folder, `mic-${m + 1}.wav`))
  const recipe = path.join(folder, 'recipe.yaml')
  mkdirSync(folder, { recursive: true })
  if (!sources.every(existsSync)) {
    // Longer ones play the same again: they would not fit into memory.
    const sound = performance(Math.min(seconds, LONGEST_SECONDS) * RATE)
    const times = Math.ceil(seconds / LONGEST_SECONDS)
    sources.forEach((file, m) => {
      writeSource(file, heardBy(sound, m), times)
    })
  }
  writeFileSync(recipe, recipeOf(name, microphones))
  return { folder, recipe, sources, seconds }
}

const writeSource = (file: string, samples: Float64Array, times: number): void => {
  new TpdfQuantiser(24, 1, file.slice(-9)).quantise([samples])
  const writer = createWave({
    path: file,
    sampleRateHz: RATE,
    channels: 1,
    frames: times * samples.length,
    depth: 24,
    metadata: { description: '', originator: 'Sumwell', stampSamples: null, codingHistory: [] },
  })
  try {
    for (let time = 0; time < times; time++) writer.write([samples], samples.length)
    writer.commit()
  } finally {
    writer.discard()
  }
}
