/** The recipe of a song of two files, `audio/top.wav` and `audio/bottom.wav`, with one blend. */
export const recipeOfTwo = (song = 'Short Song', folder = 'stems'): string => `recipe: 1
song: ${song}
groups:
  snare:
    reference: top
    sources: { top: audio/top.wav, bottom: audio/bottom.wav }
    blends: { snare: { parts: { top: 60, bottom: 40 } } }
deliver: { folder: ${folder} }
`
