/** Names of the three containers that hold WAVE chunks; RF64 and BW64 carry sizes over 4 GiB in a `ds64` chunk. */
export type Container = 'RIFF' | 'RF64' | 'BW64'

/** How one sample is stored. Integers are left-justified in their container; 8 bit is unsigned with 128 as zero. */
export type SampleCoding = 'u8' | 's16' | 's24' | 's32' | 'f32' | 'f64'

/** Bytes of one stored sample. */
export const sampleBytes: Readonly<Record<SampleCoding, number>> = {
  u8: 1,
  s16: 2,
  s24: 3,
  s32: 4,
  f32: 4,
  f64: 8,
}

/** What the `fmt ` chunk says, checked. */
export interface SampleLayout {
  /** 1 PCM, 3 float; in an extensible file the tag of its sub-format. */
  readonly tag: 1 | 3
  readonly extensible: boolean
  readonly coding: SampleCoding
  readonly channels: number
  readonly sampleRateHz: number
  /** Meaningful bits of a sample, at most those of its container. */
  readonly validBits: number
  /** Loudspeaker positions, bit 0 = front left; null in a plain file, 0 = none stated. */
  readonly channelMask: number | null
  /** Bytes of one frame: channels x bytes of a sample. */
  readonly frameBytes: number
}

/** The layout, and where the audio lies in the file. */
export interface WaveFormat extends SampleLayout {
  readonly container: Container
  /** Byte of the file at which the first sample stands. */
  readonly dataAt: number
  /** Bytes of audio that are used: a whole number of frames, inside the file. */
  readonly dataBytes: number
}
