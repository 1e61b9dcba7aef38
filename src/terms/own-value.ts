/**
 * What a record holds under a name that somebody chose; undefined where it holds nothing of its own, or is not there. A group may be called
 * `isPrototypeOf`, and every object answers to that.
 */
export const ownValue = <T>(record: Readonly<Record<string, T>> | undefined, name: string): T | undefined =>
  record !== undefined && Object.hasOwn(record, name) ? record[name] : undefined
