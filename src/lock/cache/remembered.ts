import type { Recall } from '../../terms/recall.js'

/** The same tasks; those that are named are done once for the same input. A table may make its tasks as they are asked for. */
export const remembered = <Table extends object>(
  tasks: Table,
  room: string,
  names: readonly (keyof Table & string)[],
  recall: Recall,
): Table => {
  const known = new Map<string | symbol, unknown>(
    names.map(name => {
      const task = tasks[name] as (input: unknown) => Promise<unknown>
      return [name, (input: unknown) => recall(`${room} ${name}`, input, () => task(input))]
    }),
  )
  return new Proxy(tasks, { get: (table, name) => known.get(name) ?? (Reflect.get(table, name) as unknown) })
}
