/** Rates at which a slate can be asked for, Hz: those that hold its 16 kHz. */
export const SLATE_RATES_HZ = [44100, 48000, 88200, 96000, 176400, 192000] as const

export const SLATE_DEPTHS = [16, 24, '32f'] as const
