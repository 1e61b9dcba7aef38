import { type ChildProcess, fork } from 'node:child_process'
import { availableParallelism } from 'node:os'
import { fileURLToPath } from 'node:url'

/** What a child sends back. */
type Reply<Output> = { readonly value: Output } | { readonly failed: string }

export interface ProcessWish<Input, Output> {
  /** Address of a module that exports `answer(input)`; both cross as plain data. */
  readonly module: string
  readonly inputs: Iterable<Input>
  /** Called for every answer, in the order in which they come. */
  readonly took: (input: Input, output: Output) => void
  /** No new question is asked once this says so. */
  readonly over?: () => boolean
}

/** As many processes as the machine has processors, or BENCH_PROCESSES. */
const COUNT = Number(process.env['BENCH_PROCESSES'] ?? availableParallelism())

/** Asks `answer` of every input, spread over processes. @throws Error where one of them fails */
export const inProcesses = async <Input, Output>({
  module,
  inputs,
  took,
  over = () => false,
}: ProcessWish<Input, Output>): Promise<void> => {
  const waiting = inputs[Symbol.iterator]()
  const work = async (child: ChildProcess): Promise<void> => {
    for (let next = waiting.next(); next.done !== true && !over(); next = waiting.next()) {
      const reply = await asked<Output>(child, { module, input: next.value })
      if ('failed' in reply) throw new Error(reply.failed)
      took(next.value, reply.value)
    }
  }
  const children = Array.from({ length: COUNT }, () =>
    fork(fileURLToPath(new URL('child.ts', import.meta.url))),
  )
  try {
    await Promise.all(children.map(work))
  } finally {
    for (const child of children) child.kill()
  }
}

const asked = <Output>(child: ChildProcess, question: object): Promise<Reply<Output>> =>
  new Promise((resolve, reject) => {
    const ended = (): void => {
      reject(new Error('a process of the bench ended early'))
    }
    child.once('exit', ended)
    child.once('message', reply => {
      child.off('exit', ended)
      resolve(reply as Reply<Output>)
    })
    child.send(question)
  })
