/**
 * The buffers inside a task's output that may be handed over instead of copied: those of typed arrays that cover their
 * whole buffer. A view of a part is copied, because handing over takes the whole buffer from its owner.
 * A task therefore gives away the whole arrays that it returns, and keeps none of them.
 */
export const buffersOf = (output: unknown): ArrayBuffer[] => {
  const found = new Set<ArrayBuffer>()
  const seen = new Set<object>()
  const left: unknown[] = [output]
  while (left.length > 0) {
    const value = left.pop()
    if (typeof value !== 'object' || value === null || seen.has(value)) continue
    seen.add(value)
    if (ArrayBuffer.isView(value)) {
      if (value.buffer instanceof ArrayBuffer && value.byteLength === value.buffer.byteLength)
        found.add(value.buffer)
    } else if (value instanceof Map) {
      pushObjects(left, [...value.keys()])
      pushObjects(left, [...value.values()])
    } else if (value instanceof Set) pushObjects(left, [...value])
    else if (Array.isArray(value)) pushObjects(left, value)
    else pushObjects(left, Object.values(value))
  }
  return [...found]
}

// One by one: a spread of a long array would overflow the stack; and numbers need no visit.
const pushObjects = (left: unknown[], values: readonly unknown[]) => {
  for (const value of values) if (typeof value === 'object' && value !== null) left.push(value)
}
