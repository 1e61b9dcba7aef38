import type { CorpusCase } from './case.js'
import { gaussian, random } from './random.js'
import * as responses from './responses.js'
import { room } from './room.js'
import { groove, note, tune } from './sounds.js'
import { delayed, through } from './spectrum.js'

const RATE = 48000
const SECONDS = 5
const FRAMES = SECONDS * RATE

/** Kinds of hard cases, in the order in which they take turns. */
export const HARD_KINDS = [
  'unrelated',
  'same-groove',
  'same-grid-tunes',
  'double-tracked',
  'held-note',
  'steady-tone',
  'narrow-band',
  'loop-related',
  'loop-unrelated',
  'click-in-unrelated',
  'click-over-related',
  'loud-reflection',
  'two-spots',
  'common-hum',
  'silence',
  'noise-only',
  'outside-search',
  'low-only',
  'plain',
  'plain-room',
] as const
export type HardKind = (typeof HARD_KINDS)[number]

/** One hard case, everything drawn from kind and seed. */
export const hardCase = (kind: HardKind, seed: string): CorpusCase => {
  const made = MAKERS[kind](new Draw(`${kind} ${seed}`))
  return { name: `${kind} ${seed}`, kind, sampleRateHz: RATE, searchSeconds: 0.04, ...made }
}

type Made = Pick<CorpusCase, 'reference' | 'source' | 'truth' | 'knowable' | 'alsoTrue'>

class Draw {
  readonly u: () => number
  constructor(readonly seed: string) {
    this.u = random(seed)
  }
  between(low: number, high: number): number {
    return low + (high - low) * this.u()
  }
  log(low: number, high: number): number {
    return low * (high / low) ** this.u()
  }
  pick<T>(list: readonly T[]): T {
    return list[Math.floor(this.u() * list.length)]!
  }
  lag(): number {
    return this.between(-1850, 1850)
  }
  sign(): 1 | -1 {
    return this.u() < 0.5 ? 1 : -1
  }
  noiseDb(): number {
    return -this.between(20, 70)
  }
}

const rms = (x: Float64Array): number => {
  let squares = 0
  for (const v of x) squares += v * v
  return Math.sqrt(squares / x.length) || 1e-9
}
const sum = (...parts: readonly Float64Array[]): Float64Array => {
  const out = new Float64Array(parts[0]!.length)
  for (const part of parts) for (let n = 0; n < out.length; n++) out[n] = out[n]! + part[n]!
  return out
}
const times = (x: Float64Array, factor: number): Float64Array => {
  const out = new Float64Array(x.length)
  for (let n = 0; n < x.length; n++) out[n] = x[n]! * factor
  return out
}
const atDb = (x: Float64Array, against: Float64Array, db: number): Float64Array =>
  times(x, (rms(against) / rms(x)) * 10 ** (db / 20))
const noise = (seed: string): Float64Array => Float64Array.from({ length: FRAMES }, gaussian(seed))
const withNoise = (x: Float64Array, db: number, seed: string): Float64Array =>
  sum(x, atDb(noise(seed), x, db))
const noisyPair = (
  d: Draw,
  reference: Float64Array,
  source: Float64Array,
): Pick<Made, 'reference' | 'source'> => ({
  reference: withNoise(reference, d.noiseDb(), `${d.seed} n1`),
  source: withNoise(times(source, 10 ** (d.between(-15, 5) / 20)), d.noiseDb(), `${d.seed} n2`),
})
const turned = (x: Float64Array, sign: 1 | -1): Float64Array => (sign === 1 ? x : times(x, -1))
const truthOf = (lagSamples: number, sign: 1 | -1): Made['truth'] => ({
  lagSamples,
  polarity: sign === 1 ? 'normal' : 'inverted',
})

const anyTune = (d: Draw, name: string): Float64Array =>
  tune(FRAMES, RATE, `${d.seed} ${name}`, {
    lowestHz: d.log(40, 400),
    brightness: d.between(2, 12),
    attack: d.between(0.1, 1),
    stepSeconds: d.between(0.15, 0.5),
    holdSeconds: d.between(0.3, 1.5),
    inharmonicity: d.between(0, 3e-4),
  })
const anyGroove = (
  d: Draw,
  name: string,
  grid?: { stepSeconds: number; steps: number; pattern: string },
): Float64Array =>
  groove(FRAMES, RATE, `${d.seed} ${name}`, {
    stepSeconds: grid?.stepSeconds ?? d.between(0.1, 0.3),
    steps: grid?.steps ?? 16,
    pattern: grid?.pattern ?? `${d.seed} ${name}`,
    pitchHz: d.log(45, 400),
    tone: d.between(0.2, 1),
    noise: d.between(0.05, 1),
    seconds: d.log(0.02, 0.2),
    dynamics: d.pick([0, 0.3, 0.7]),
  })
const anything = (d: Draw, name: string): Float64Array =>
  d.u() < 0.5 ? anyTune(d, name) : anyGroove(d, name)
const click = (d: Draw): Float64Array => {
  const out = new Float64Array(FRAMES)
  const step = d.between(0.3, 0.7) * RATE
  const frequencyHz = d.between(800, 3000)
  for (let at = 0.1 * RATE; at < FRAMES - RATE / 10; at += step) {
    note(out, Math.round(at), RATE, {
      frequencyHz,
      seconds: 0.05,
      level: 0.3,
      brightness: 3,
      attack: 0.5,
      seed: `${d.seed} click`,
    })
  }
  return out
}
const bandNoise = (seed: string, middleHz: number, octaves: number): Float64Array =>
  through(noise(seed), RATE, 4800, f => {
    const away = Math.abs(Math.log2(Math.max(1, f) / middleHz)) / (octaves / 2)
    return [away < 1 ? 1 : Math.exp(-20 * (away - 1)), 0]
  })

const MAKERS: Record<HardKind, (d: Draw) => Made> = {
  unrelated: d => ({ ...noisyPair(d, anything(d, 'a'), anything(d, 'b')), truth: null, knowable: false }),
  'same-groove': d => {
    const grid = { stepSeconds: d.between(0.1, 0.3), steps: 16 }
    const samePattern = d.u() < 0.5
    const a = anyGroove(d, 'a', { ...grid, pattern: `${d.seed} p` })
    const b = anyGroove(d, 'b', { ...grid, pattern: samePattern ? `${d.seed} p` : `${d.seed} q` })
    return { ...noisyPair(d, a, b), truth: null, knowable: false }
  },
  'same-grid-tunes': d => {
    const style = { stepSeconds: d.between(0.15, 0.4), tight: true }
    const part = (name: string): Float64Array =>
      tune(FRAMES, RATE, `${d.seed} ${name}`, {
        ...style,
        lowestHz: d.pick([41.2, 55, 82.4, 110, 165]),
        brightness: d.between(2, 10),
        attack: d.between(0.05, 1),
        holdSeconds: d.between(0.3, 1.5),
      })
    return { ...noisyPair(d, part('a'), part('b')), truth: null, knowable: false }
  },
  // The same part played twice: nothing of one is in the other, though all notes are the same.
  'double-tracked': d => {
    const u = random(`${d.seed} takes`)
    const lowestHz = d.log(60, 300)
    const brightness = d.between(3, 10)
    const attack = d.between(0.1, 0.8)
    const take = (name: string): Float64Array => {
      const out = new Float64Array(FRAMES)
      const melody = random(`${d.seed} melody`)
      for (let at = 0.1; at < SECONDS - 0.5; at += 0.3) {
        const frequencyHz = lowestHz * 2 ** (Math.floor(melody() * 12) / 12) * (1 + 0.004 * (u() - 0.5))
        const start = Math.round((at + 0.025 * u()) * RATE)
        note(out, start, RATE, {
          frequencyHz,
          seconds: 0.6,
          level: 0.1,
          brightness,
          attack,
          seed: `${d.seed} ${name} ${at}`,
        })
      }
      return out
    }
    return { ...noisyPair(d, take('a'), take('b')), truth: null, knowable: false }
  },
  'held-note': d => {
    const out = new Float64Array(FRAMES)
    note(out, d.u() < 0.5 ? 0 : Math.round(0.5 * RATE), RATE, {
      frequencyHz: d.log(35, 500),
      seconds: d.between(5, 40),
      level: 0.2,
      brightness: d.between(2, 15),
      attack: d.pick([0, 0, 0.3]),
      seed: d.seed,
    })
    const lag = d.lag()
    const sign = d.sign()
    return {
      ...noisyPair(d, out, turned(delayed(out, lag), sign)),
      truth: truthOf(lag, sign),
      knowable: false,
    }
  },
  'steady-tone': d => {
    const count = d.pick([1, 1, 2, 3, 12])
    const base = d.log(40, 1500)
    const phases = Array.from({ length: count }, () => 2 * Math.PI * d.u())
    const lag = d.lag()
    const sign = d.sign()
    const tone = (late: number): Float64Array =>
      Float64Array.from({ length: FRAMES }, (_, n) =>
        phases.reduce(
          (s, p, i) => s + Math.sin((2 * Math.PI * base * (i + 1) * (n - late)) / RATE + p) / (i + 1),
          0,
        ),
      )
    return { ...noisyPair(d, tone(0), turned(tone(lag), sign)), truth: truthOf(lag, sign), knowable: false }
  },
  'narrow-band': d => {
    const source = bandNoise(d.seed, d.log(60, 6000), d.pick([0.1, 0.2, 1 / 3, 0.5, 1]))
    const lag = d.lag()
    const sign = d.sign()
    return {
      ...noisyPair(d, source, turned(delayed(source, lag), sign)),
      truth: truthOf(lag, sign),
      knowable: false,
    }
  },
  // A pattern that repeats within the search: every repeat fits.
  'loop-related': d => {
    const period = Math.round(d.between(0.012, 0.03) * RATE)
    const cell = new Float64Array(FRAMES)
    const shape = noise(`${d.seed} cell`)
    for (let n = 0; n < FRAMES; n++)
      cell[n] = 0.1 * shape[n % period]! * Math.exp(-(n % period) / (0.3 * period))
    const lag = d.lag()
    const sign = d.sign()
    return {
      ...noisyPair(d, cell, turned(delayed(cell, lag), sign)),
      truth: truthOf(lag, sign),
      knowable: false,
    }
  },
  'loop-unrelated': d => {
    const grid = { stepSeconds: d.between(0.08, 0.2), steps: d.pick([4, 8]) }
    const exact = (name: string): Float64Array => {
      const once = Math.round(grid.stepSeconds * grid.steps * RATE)
      const whole =
        d.u() < 0.5 ? anyTune(d, name) : anyGroove(d, name, { ...grid, pattern: `${d.seed} ${name}` })
      return whole.map((_, n) => whole[once + (n % once)]!)
    }
    return { ...noisyPair(d, exact('a'), exact('b')), truth: null, knowable: false }
  },
  'click-in-unrelated': d => {
    const bleed = click(d)
    const a = anything(d, 'a')
    const b = anything(d, 'b')
    const first = sum(a, atDb(bleed, a, d.between(-40, -15)))
    const second = sum(b, atDb(delayed(bleed, d.lag()), b, d.between(-40, -15)))
    return { ...noisyPair(d, first, second), truth: null, knowable: false }
  },
  'click-over-related': d => {
    const bleed = click(d)
    const a = anything(d, 'a')
    const lag = d.lag()
    const sign = d.sign()
    const first = sum(a, atDb(bleed, a, d.between(-40, -20)))
    const second = sum(turned(delayed(a, lag), sign), atDb(delayed(bleed, d.lag()), a, d.between(-40, -20)))
    return { ...noisyPair(d, first, second), truth: truthOf(lag, sign), knowable: false }
  },
  'loud-reflection': d => {
    const a = anything(d, 'a')
    const lag = d.between(0, 1200)
    const sign = d.sign()
    const later = d.between(30, 600) / RATE
    const path = responses.reflections([
      { seconds: later, factor: d.sign() * 10 ** (d.between(0.5, 6) / 20) },
    ])
    const b = through(delayed(a, lag), RATE, 9600, path)
    return { ...noisyPair(d, a, turned(b, sign)), truth: truthOf(lag, sign), knowable: false }
  },
  // Two instruments, each with its own microphone, each bleeding into the other's: the lag of either may be found.
  'two-spots': d => {
    const a = anything(d, 'a')
    const b = anything(d, 'b')
    const away = d.between(60, 400)
    const bleedDb = -d.between(6, 25)
    const first = sum(a, atDb(delayed(b, away), a, bleedDb))
    const second = sum(b, atDb(delayed(a, away), b, bleedDb))
    return {
      ...noisyPair(d, first, second),
      truth: truthOf(away, 1),
      alsoTrue: [truthOf(-away, 1)!],
      knowable: false,
    }
  },
  'common-hum': d => {
    const a = anything(d, 'a')
    const b = anything(d, 'b')
    const mains = d.pick([50, 60])
    const hum = (phase: number): Float64Array =>
      Float64Array.from({ length: FRAMES }, (_, n) => {
        let s = 0
        for (let p = 1; p <= 20; p++) s += Math.sin((2 * Math.PI * mains * p * n) / RATE + phase * p) / p
        return s
      })
    const first = sum(a, atDb(hum(0), a, d.between(-40, -10)))
    const second = sum(b, atDb(hum(d.u()), b, d.between(-40, -10)))
    return { ...noisyPair(d, first, second), truth: null, knowable: false }
  },
  silence: d => ({
    reference: anything(d, 'a'),
    source: d.u() < 0.5 ? new Float64Array(FRAMES) : times(noise(d.seed), 1e-6),
    truth: null,
    knowable: false,
  }),
  'noise-only': d => ({
    reference: times(noise(`${d.seed} a`), 0.01),
    source: times(noise(`${d.seed} b`), 10 ** (d.between(-80, -20) / 20)),
    truth: null,
    knowable: false,
  }),
  'outside-search': d => {
    const a = anything(d, 'a')
    const lag = d.sign() * d.between(2100, 9000)
    return { ...noisyPair(d, a, turned(delayed(a, lag), d.sign())), truth: null, knowable: false }
  },
  'low-only': d => {
    const a = tune(FRAMES, RATE, `${d.seed} a`, {
      lowestHz: d.log(35, 60),
      brightness: d.between(1, 3),
      attack: 0,
      stepSeconds: d.between(0.2, 0.5),
      holdSeconds: d.between(0.4, 1.2),
    })
    const lag = d.between(0, 1500)
    const sign = d.sign()
    const b = through(delayed(a, lag), RATE, 9600, responses.ventedBox(d.between(40, 110)))
    return { ...noisyPair(d, a, turned(b, sign)), truth: truthOf(lag, sign), knowable: false }
  },
  plain: d => {
    const a = anything(d, 'a')
    const lag = d.lag()
    const sign = d.sign()
    return { ...noisyPair(d, a, turned(delayed(a, lag), sign)), truth: truthOf(lag, sign), knowable: true }
  },
  'plain-room': d => {
    const a = anything(d, 'a')
    const lag = d.between(0, 1500)
    const sign = d.sign()
    const space = room(d.seed, RATE, {
      rt60Seconds: d.between(0.2, 0.8),
      distanceMetres: Math.max(0.2, lag / 140),
      strongest: 10 ** (d.between(-14, -4) / 20),
      tailDb: -20,
    })
    const b = through(delayed(a, lag), RATE, 9600, responses.reflections(space.reflections))
    return { ...noisyPair(d, a, turned(b, sign)), truth: truthOf(lag, sign), knowable: true }
  },
}
