/**
 * Three wide registers in which the number of independent frames is counted apart: treble may live in a few strokes only,
 * while the bass sounds all the time.
 */
export const REGISTER_EDGES_HZ = [250, 2000] as const
export const REGISTERS = 3

/** 0 below the first edge, 1 between them, 2 above. */
export const registerOf = (frequencyHz: number): number =>
  frequencyHz < REGISTER_EDGES_HZ[0] ? 0 : frequencyHz < REGISTER_EDGES_HZ[1] ? 1 : 2
