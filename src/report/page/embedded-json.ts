/** JSON that can stand inside a script element: no `<` in it, so nothing in a text can end the element or open a comment. */
export const embeddedJson = (value: unknown): string => JSON.stringify(value).replace(/</g, '\\u003c')
