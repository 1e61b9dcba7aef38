import { spawnSync } from 'node:child_process'
import { cpSync, existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { main } from '../end-to-end/setting/sumwell.js'
import type { Ground } from './ground.js'

let kept: string | null = null

/** The delivery of the good song and its lock, made once by the built command. */
const made = (ground: Ground): string => {
  if (kept !== null) return kept
  const folder = mkdtempSync(join(tmpdir(), 'sumwell-delivered-'))
  process.once('exit', () => {
    rmSync(folder, { recursive: true, force: true })
  })
  cpSync(ground.path('audio'), join(folder, 'audio'), { recursive: true })
  cpSync(ground.path('song.yaml'), join(folder, 'song.yaml'))
  const done = spawnSync(process.execPath, [main, 'render', 'song.yaml', '--quiet'], {
    cwd: folder,
    encoding: 'utf8',
    env: { ...process.env, SUMWELL_CACHE: '' },
  })
  if (!existsSync(join(folder, 'stems/SHA256SUMS')))
    throw new Error(`the good song does not render:\n${done.stderr}`)
  kept = folder
  return folder
}

/** Puts a delivery of the good song into `stems`. */
export const delivered = (ground: Ground): void => {
  cpSync(join(made(ground), 'stems'), ground.path('stems'), { recursive: true })
}

/** Puts the lock of the good song beside it. */
export const lockedSong = (ground: Ground): void => {
  cpSync(join(made(ground), 'song.lock.yaml'), ground.path('song.lock.yaml'))
}
