/**
 * Makes a value, or takes it from memory where the same was made before. `input` is everything that the value depends on, as plain
 * data that prints as JSON. Values are plain data and typed arrays.
 */
export type Recall = <Value>(what: string, input: unknown, make: () => Promise<Value>) => Promise<Value>

/** Remembers nothing. */
export const madeAnew: Recall = (_what, _input, make) => make()
