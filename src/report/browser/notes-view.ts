/**
 * Makes the notes that are told of playable: those of one blend that sound within the passage, `seconds` long from `startSeconds` on. `play`
 * gets the time of the note.
 */
export const notesOf = (
  blend: string,
  startSeconds: number,
  seconds: number,
  play: (atSeconds: number) => void,
): void => {
  for (const place of document.querySelectorAll<HTMLElement>('[data-note]')) {
    const at = Number(place.dataset['note'])
    if (place.dataset['noteOf'] !== blend || at < startSeconds || at > startSeconds + seconds) continue
    const button = document.createElement('button')
    button.type = 'button'
    button.className = 'note-button'
    button.title = 'hear this note, round and round'
    button.textContent = place.textContent
    button.addEventListener('click', () => {
      play(at)
    })
    place.replaceChildren(button)
  }
}
