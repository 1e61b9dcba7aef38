/** A plain 24-bit PCM WAVE file, written without the program under test. Samples within ±1. */
export const waveBytes = (channels: readonly Float64Array[], sampleRateHz: number): Buffer => {
  const frames = channels[0]?.length ?? 0
  const blockBytes = 3 * channels.length
  const bytes = Buffer.alloc(44 + frames * blockBytes + ((frames * blockBytes) % 2))
  bytes.write('RIFF', 0, 'latin1')
  bytes.writeUInt32LE(bytes.length - 8, 4)
  bytes.write('WAVEfmt ', 8, 'latin1')
  bytes.writeUInt32LE(16, 16)
  bytes.writeUInt16LE(1, 20)
  bytes.writeUInt16LE(channels.length, 22)
  bytes.writeUInt32LE(sampleRateHz, 24)
  bytes.writeUInt32LE(sampleRateHz * blockBytes, 28)
  bytes.writeUInt16LE(blockBytes, 32)
  bytes.writeUInt16LE(24, 34)
  bytes.write('data', 36, 'latin1')
  bytes.writeUInt32LE(frames * blockBytes, 40)
  channels.forEach((samples, c) => {
    samples.forEach((sample, frame) => {
      bytes.writeIntLE(Math.round(sample * 8388607), 44 + frame * blockBytes + 3 * c, 3)
    })
  })
  return bytes
}

/** The samples of such a file, and of any whose `data` chunk is 24-bit PCM. */
export const samplesOf = (bytes: Buffer): Float64Array[] => {
  let at = 12
  let channelCount = 1
  while (at + 8 <= bytes.length) {
    const id = bytes.toString('latin1', at, at + 4)
    const size = bytes.readUInt32LE(at + 4)
    if (id === 'fmt ') channelCount = bytes.readUInt16LE(at + 10)
    if (id === 'data') {
      const frames = size / (3 * channelCount)
      return Array.from({ length: channelCount }, (_, c) =>
        Float64Array.from(
          { length: frames },
          (_, f) => bytes.readIntLE(at + 8 + 3 * (f * channelCount + c), 3) / 8388608,
        ),
      )
    }
    at += 8 + size + (size % 2)
  }
  throw new Error('no data chunk')
}
