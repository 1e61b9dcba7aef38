/**
 * A position in frames with the dust of arithmetic taken off: what lies within 1e-9 frame of a whole number is that number (an error of
 * −171 dB at 20 kHz and 48 kHz), so that whole moves stay bit-exact copies. Never −0.
 */
export const snapped = (samples: number): number => {
  const whole = Math.round(samples)
  return (Math.abs(samples - whole) < 1e-9 ? whole : samples) + 0
}
