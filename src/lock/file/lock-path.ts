/** Where the lock of a recipe lies: beside it. `song.yaml` has `song.lock.yaml`. */
export const lockPath = (recipe: string): string => `${recipe.replace(/\.ya?ml$/i, '')}.lock.yaml`
