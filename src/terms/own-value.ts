/**
 * What a record holds under a name that somebody chose; undefined where it holds nothing of its own. A group may be called `constructor`, and
 * every object answers to that.
 */
export const ownValue = <T>(record: Readonly<Record<string, T>>, name: string): T | undefined =>
  Object.hasOwn(record, name) ? record[name] : undefined
