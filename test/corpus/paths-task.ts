import type { GroupTask } from '../../src/measure/group/group-input.js'

/** The task of measuring some mono tracks that begin together, the first of them the reference. */
export const pathsTask = (
  tracks: readonly Float64Array[],
  sampleRateHz: number,
  searchSeconds: number,
): GroupTask => ({
  sampleRateHz,
  members: tracks.map((track, i) => ({
    name: `path ${i}`,
    channels: 1,
    frames: track.length,
    startFrame: 0,
  })),
  reference: 0,
  searchSeconds,
  passage: null,
})
