import fs from 'node:fs'

/** Files under a folder that this process holds open, by their paths; nothing where the system does not tell (`/proc`). */
export const openFiles = (folder: string): string[] => {
  const root = fs.realpathSync(folder)
  const descriptors = fs.existsSync('/proc/self/fd') ? fs.readdirSync('/proc/self/fd') : []
  return descriptors
    .map(descriptor => {
      try {
        return fs.readlinkSync(`/proc/self/fd/${descriptor}`)
      } catch {
        return '' // the one that listed them
      }
    })
    .filter(file => file.startsWith(`${root}/`))
}
