/**
 * The functions of `Math` whose last bit is up to the engine, made of the operations whose last bit is not: + - * / and the square root
 * (IEEE 754), in a fixed order. The same argument gives the same bits on every machine, processor and version of the engine. At most
 * one or two units in the last place from the true value (test/terms/portable.test.ts).
 *
 * Everything that may reach a sample, a lag or the report takes them from here; the linter sees to that.
 */
export { atan, atan2 } from './portable/arc.js'
export { exp, log, log2, log10 } from './portable/exponential.js'
export { cos, sin, tan } from './portable/sine.js'

/** Length of (x, y) or (x, y, z): the root of the sum of squares, for lengths whose squares a double holds. */
export const hypot = (x: number, y: number, z = 0): number => Math.sqrt(x * x + y * y + z * z)
