/**
 * Version of the method of measuring. It counts up with every change after which the same recordings may get another lag, polarity or
 * verdict: locks say by which method they were measured, and a newer one that would decide otherwise is told, not followed.
 */
export const MEASURE_METHOD = 5
