/**
 * What the sounds of a page may take, as text in it, so that it stays under 25 MB for eight sources and five minutes: everything else
 * has a little over 4 MB there.
 */

/** Of this at most so much is the whole song, coarsely; the passages have the rest. */
export const MOST_TEXT_BYTES = 20e6
export const MOST_COARSE_TEXT_BYTES = 5.6e6

/** Of a sound in the page: four characters for three bytes. */
export const textBytes = (bytes: number): number => 4 * Math.ceil(bytes / 3)
