// A figure and its unit: "60–250 Hz", "2.5 kHz", "+4.1 dB".
const FIGURE_AND_UNIT = /(\d) (?=(?:k?Hz|dB|dBTP|dBFS|LUFS|ms|m|frames|ppm)\b)/g

/** The same text with figures tied to their units by no-break spaces, so that no line ends between them. */
export const unbroken = (text: string): string => text.replace(FIGURE_AND_UNIT, '$1\u00A0')
