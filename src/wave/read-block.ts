/** Bytes that are read at a time where a file is only looked through. */
const BLOCK_BYTES = 1 << 18

let block: Uint8Array | undefined

/**
 * What a file is looked through with: one for each thread, used again for every file. Whoever asks is done with it before anybody else in the
 * thread can ask: between reading and using what was read nothing is waited for.
 */
export const readBlock = (): Uint8Array => (block ??= new Uint8Array(BLOCK_BYTES))
