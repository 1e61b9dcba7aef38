import fs from 'node:fs'
import os from 'node:os'
import path from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { holdFolder } from '../../src/render/folder-hold.js'
import { openAtomic } from '../../src/wave/atomic-file.js'
import { openWave } from '../../src/wave/wave-file.js'
import { createWave, type WaveTarget } from '../../src/wave/wave-writer.js'
import { faultOf } from './faults-of.js'
import { system } from './system-command.js'

// A real disk of 1 MiB (a tmpfs) needs the superuser. CI runs as one: there a disk that cannot be made is a failure.
const superuser = process.platform === 'linux' && process.getuid?.() === 0
const mustRun = process.env['CI'] !== undefined && superuser
const disk = path.join(os.tmpdir(), `sumwell-disk-${process.pid}`)
let mounted = false

const mountDisk = (): void => {
  fs.mkdirSync(disk, { recursive: true })
  system('mount', '-t', 'tmpfs', '-o', 'size=1m', 'tmpfs', disk)
  mounted = true
}

beforeAll(() => {
  try {
    mountDisk()
  } catch (error) {
    if (mustRun) throw error
    console.warn(
      'NOT CHECKED: a full and a read-only disk. Making a small disk needs the superuser on Linux.',
    )
  }
})

afterAll(() => {
  if (mounted) system('umount', disk)
  fs.rmSync(disk, { recursive: true, force: true })
})

const target = (frames: number): WaveTarget => ({
  path: path.join(disk, 'stem.wav'),
  sampleRateHz: 48000,
  channels: 1,
  frames,
  depth: 24,
  metadata: { description: 'stem', stampSamples: 1, originator: 'Sumwell', codingHistory: [] },
})

const writeFormer = (): number => {
  const writer = createWave(target(1000))
  writer.write([new Float64Array(1000)], 1000)
  return writer.commit().bytes
}

const unharmed = (bytes: number): void => {
  const file = openWave(path.join(disk, 'stem.wav'))
  file.close()
  expect(file.facts.frames).toBe(1000)
  expect(file.warnings).toEqual([])
  expect(fs.statSync(file.path).size).toBe(bytes)
  expect(fs.readdirSync(disk).filter(name => name.endsWith('.part'))).toEqual([])
}

describe('a real full disk', () => {
  test('is told before the first byte where the size is known', t => {
    if (!mounted) t.skip()
    const former = writeFormer()
    const fault = faultOf(() => createWave(target(400_000)))
    expect(fault).toMatchObject({
      code: 'WRITE_DISK_FULL',
      message: 'the file needs 1.1 MiB, the disk has 1.0 MiB left',
    })
    unharmed(former)
  })

  test('that another fills meanwhile ends the write, and the former stem stays', t => {
    if (!mounted) t.skip()
    const former = writeFormer()
    for (const filledAfter of [0, 1, 5, 9]) {
      const other = path.join(disk, 'other')
      const writer = createWave(target(300_000))
      const block = [new Float64Array(30_000)]
      const fault = faultOf(() => {
        for (let blocks = 0; blocks < 10; blocks++) {
          if (blocks === filledAfter) {
            const { bavail, bsize } = fs.statfsSync(disk)
            fs.writeFileSync(other, new Uint8Array(Math.max(0, bavail * bsize - 10_000)))
          }
          writer.write(block, 30_000)
        }
        writer.commit()
      })
      fs.rmSync(other)
      expect(fault.code).toBe('WRITE_DISK_FULL')
      unharmed(former)
    }
  })

  test('of which only a part of the last write fits leaves nothing behind', t => {
    if (!mounted) t.skip()
    const former = writeFormer()
    const file = openAtomic(path.join(disk, 'stem.wav'))
    const fault = faultOf(() => {
      file.write(new Uint8Array(2_000_000))
    })
    expect(fault.code).toBe('WRITE_DISK_FULL')
    unharmed(former)
  })
})

test('a read-only disk', t => {
  if (!mounted) t.skip()
  const former = writeFormer()
  system('mount', '-o', 'remount,ro', disk)
  try {
    const fault = faultOf(() => createWave(target(10)))
    expect(fault).toMatchObject({ code: 'WRITE_NOT_ALLOWED' })
    expect(fault.message).toMatch(/the disk is read-only/)
    // A folder that is missing there, and one in a missing folder, are told alike.
    for (const folder of ['new', 'new/inner/most']) {
      const missing = path.join(disk, folder)
      const faults = [
        faultOf(() => openAtomic(path.join(missing, 'stem.wav'))),
        faultOf(() => holdFolder(missing)),
      ]
      for (const one of faults) {
        expect(one).toMatchObject({ code: 'WRITE_NOT_ALLOWED' })
        expect(one.message).toMatch(/the disk is read-only/)
      }
    }
  } finally {
    system('mount', '-o', 'remount,rw', disk)
  }
  unharmed(former)
})
