import { execFileSync, spawnSync } from 'node:child_process'

export {
  chmodSync,
  cpSync,
  existsSync,
  linkSync,
  mkdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
  truncateSync,
  utimesSync,
  writeFileSync,
} from 'node:fs'

/** A pipe with a name, to which nobody writes. */
export const mkfifoSync = (path: string): void => {
  execFileSync('mkfifo', [path])
}

/** A socket with a name; it stays on the disk when its server is killed. */
export const mksocketSync = (path: string): void => {
  const script = `require('node:net').createServer().listen(${JSON.stringify(path)}, () => process.kill(process.pid, 'SIGKILL'))`
  spawnSync(process.execPath, ['-e', script])
}
