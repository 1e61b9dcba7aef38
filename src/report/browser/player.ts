import { loopSamples, type Region } from '../listen/loop.js'

/** Time in which one take goes over into another, seconds. */
const CROSSING_SECONDS = 0.005
/** Changes are planned so much ahead that the sound card has not got there yet, seconds. */
const AHEAD_SECONDS = 0.012

/** A gain that only ever moves in straight lines of 5 ms, each begun where the last one ended: nothing jumps. */
class Crossing {
  readonly node: GainNode
  #target: number
  #free = 0

  constructor(context: BaseAudioContext, value: number, to: AudioNode) {
    this.node = new GainNode(context, { gain: value })
    this.#target = value
    this.node.connect(to)
  }

  /** Goes to a value from `time` on, or as soon as the last change is done. */
  go(value: number, time: number): void {
    if (value === this.#target) return
    const start = Math.max(time, this.#free)
    this.node.gain.setValueAtTime(this.#target, start)
    this.node.gain.linearRampToValueAtTime(value, start + CROSSING_SECONDS)
    this.#target = value
    this.#free = start + CROSSING_SECONDS
  }
}

interface Voice {
  readonly source: AudioBufferSourceNode
  readonly gain: Crossing
}

interface Take {
  readonly channels: readonly Float64Array[]
  /** What brings it to the loudness of the others; 1 = as it is. */
  matchGain: number
  voice: Voice | null
}

/**
 * Plays takes of one passage at once, round and round; one of them is heard. All begin at the same frame and run on unheard, so that going
 * from one to another changes nothing but two gains.
 */
export class Player {
  readonly #context: BaseAudioContext
  readonly #out: Crossing
  readonly #takes = new Map<string, Take>()
  #heard: string
  #region: Region
  /** Frame of the context at which `#first`, a frame of the region, is played. */
  #startFrame = 0
  #first = 0
  #playing = false

  constructor(context: BaseAudioContext, region: Region, heard: string) {
    this.#context = context
    this.#region = region
    this.#heard = heard
    this.#out = new Crossing(context, 0, context.destination)
  }

  get playing(): boolean {
    return this.#playing
  }

  get region(): Region {
    return this.#region
  }

  /** Frame of the passage that is heard now. */
  get position(): number {
    return this.#positionAt(Math.floor(this.#context.currentTime * this.#context.sampleRate))
  }

  /** Amplitude of everything. */
  loud(gain: number): void {
    this.#out.go(gain, this.#soon() / this.#context.sampleRate)
  }

  /** Which take is heard. */
  hear(name: string): void {
    this.#heard = name
    this.#level(this.#soon())
  }

  /** Brings a take to another level. */
  match(name: string, gain: number): void {
    const take = this.#takes.get(name)
    if (take === undefined) return
    take.matchGain = gain
    this.#level(this.#soon())
  }

  /** Adds a take, or puts another sound in its place, at the same moment of the passage. */
  set(name: string, channels: readonly Float64Array[]): void {
    const old = this.#takes.get(name)
    const take: Take = { channels, matchGain: old?.matchGain ?? 1, voice: null }
    this.#takes.set(name, take)
    if (!this.#playing) return
    const frame = this.#soon()
    this.#end(old?.voice ?? null, frame)
    take.voice = this.#begin(name, take, frame)
  }

  /** Loops another region; what is heard goes on where it is, or begins at the region's start where that is outside. */
  loop(region: Region): void {
    const frame = this.#soon()
    const at = this.#positionAt(frame)
    this.#restart(region, at >= region.from && at < region.to ? at - region.from : 0, frame)
  }

  /** Goes to a frame of the passage. */
  go(passageFrame: number): void {
    const { from, to } = this.#region
    this.#restart(this.#region, Math.max(0, Math.min(to - from - 1, passageFrame - from)), this.#soon())
  }

  start(): void {
    if (this.#playing) return
    this.#playing = true
    this.#startFrame = this.#soon()
    for (const [name, take] of this.#takes) take.voice = this.#begin(name, take, this.#startFrame)
  }

  stop(): void {
    if (!this.#playing) return
    this.#first = this.position - this.#region.from
    this.#playing = false
    const frame = this.#soon()
    for (const take of this.#takes.values()) {
      this.#end(take.voice, frame)
      take.voice = null
    }
  }

  /** `first`: frame of the region that is due at `frame` of the context. */
  #restart(region: Region, first: number, frame: number): void {
    this.#region = region
    this.#first = first
    this.#startFrame = frame
    if (!this.#playing) return
    for (const [name, take] of this.#takes) {
      this.#end(take.voice, frame)
      take.voice = this.#begin(name, take, frame)
    }
  }

  #positionAt(frame: number): number {
    const { from, to } = this.#region
    const gone = this.#playing ? Math.max(0, frame - this.#startFrame) : 0
    return from + ((this.#first + gone) % (to - from))
  }

  /** The next frame at which something can be changed without being late. */
  #soon(): number {
    const { currentTime, sampleRate } = this.#context
    return Math.ceil((currentTime + AHEAD_SECONDS) * sampleRate)
  }

  #levelOf(name: string, take: Take): number {
    return name === this.#heard ? take.matchGain : 0
  }

  #level(frame: number): void {
    const time = frame / this.#context.sampleRate
    for (const [name, take] of this.#takes) take.voice?.gain.go(this.#levelOf(name, take), time)
  }

  /** The loop is laid so that the frame due is its first: then no offset has to be rounded. */
  #begin(name: string, take: Take, frame: number): Voice {
    const { sampleRate } = this.#context
    const length = this.#region.to - this.#region.from
    const due = (this.#first + frame - this.#startFrame) % length
    const buffer = new AudioBuffer({ length, numberOfChannels: take.channels.length, sampleRate })
    take.channels.forEach((samples, c) => {
      buffer.copyToChannel(
        loopSamples(samples, this.#region, due, sampleRate) as Float32Array<ArrayBuffer>,
        c,
      )
    })
    const source = new AudioBufferSourceNode(this.#context, { buffer, loop: true })
    const gain = new Crossing(this.#context, 0, this.#out.node)
    source.connect(gain.node)
    source.start(frame / sampleRate)
    gain.go(this.#levelOf(name, take), frame / sampleRate)
    return { source, gain }
  }

  #end(voice: Voice | null, frame: number): void {
    if (voice === null) return
    const time = frame / this.#context.sampleRate
    voice.gain.go(0, time)
    voice.source.stop(time + 4 * CROSSING_SECONDS)
    voice.source.onended = () => {
      voice.gain.node.disconnect()
    }
  }
}
