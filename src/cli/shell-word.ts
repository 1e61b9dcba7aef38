/** A path as it can be pasted into a shell: quoted where it holds more than letters, digits and harmless signs. */
export const shellWord = (path: string): string =>
  /^[\p{L}\p{N}_./+@%:,=-]+$/u.test(path) && !path.startsWith('-')
    ? path
    : `'${path.replaceAll("'", "'\\''")}'`
