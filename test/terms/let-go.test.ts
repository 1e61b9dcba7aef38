import { describe, expect, it } from 'vitest'
import { letGo } from '../../src/terms/let-go.js'

describe('letting go', () => {
  it('empties whole arrays wherever they are inside a value, and leaves parts of others and shared memory be', () => {
    const whole = [new Float64Array(1000), new Float32Array(10)]
    const part = new Float64Array(100).subarray(10, 20)
    const shared = new Float32Array(new SharedArrayBuffer(40))
    letGo({ list: [whole[0]], map: new Map([['a', whole[1]]]), part, shared, none: null, text: 'x' })
    expect(whole.map(({ length }) => length)).toEqual([0, 0])
    expect(part.length).toBe(10)
    expect(shared.length).toBe(10)
  })

  it('gives the memory back at once', async () => {
    letGo(new Float64Array(1))
    await new Promise(done => setTimeout(done, 20)) // the port has closed
    const before = process.memoryUsage().arrayBuffers
    for (let i = 0; i < 50; i++) letGo(new Float64Array(1 << 17).fill(i))
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(4 << 20)
  })
})
