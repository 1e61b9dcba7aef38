/** Stands in for src/signal/kernel/kernels.ts: the page's policy allows no WebAssembly, and the twins in TypeScript give the same bits. */
export const KERNEL_MEMORY_BYTES = 0

/** The page has no fast kernels: the plain twins serve. */
export const kernels = (): null => null
