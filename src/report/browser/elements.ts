/** One element of a part of the page that must be there. */
export const one = <E extends Element>(root: ParentNode, selector: string): E => {
  const found = root.querySelector<E>(selector)
  if (found === null) throw new Error(`the page has no ${selector}`)
  return found
}

/** Writes a text where the page tells it. */
export const tell = (root: ParentNode, what: string, text: string): void => {
  const place = root.querySelector(`[data-tell="${what}"]`)
  if (place !== null && place.textContent !== text) place.textContent = text
}

/** Binds a button by its `data-do`; nothing happens where the page has none. */
export const onClick = (root: ParentNode, what: string, act: () => void): void => {
  root.querySelector(`[data-do="${what}"]`)?.addEventListener('click', act)
}
