/** How many bytes of arrays of doubles a piece of work makes with `new`, all together: also what is let go again at once. */
export const bytesOfArraysMadeBy = async (work: () => unknown): Promise<number> => {
  const plain = globalThis.Float64Array
  let bytes = 0
  globalThis.Float64Array = new Proxy(plain, {
    construct(target, given: unknown[], newTarget) {
      const asked = newTarget === globalThis.Float64Array ? target : newTarget
      const made = Reflect.construct(target, given, asked) as Float64Array
      // A view takes nothing of its own.
      if (!(given[0] instanceof ArrayBuffer || given[0] instanceof SharedArrayBuffer))
        bytes += made.byteLength
      return made
    },
  })
  try {
    await work()
  } finally {
    globalThis.Float64Array = plain
  }
  return bytes
}
