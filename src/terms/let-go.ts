import { MessageChannel } from 'node:worker_threads'
import { buffersOf } from './buffers-of.js'

let nowhere: InstanceType<typeof MessageChannel>['port1'] | null = null

/**
 * Gives the memory of whole typed arrays inside a value back at once; they are empty afterwards. For large results that were added up: the
 * engine would collect tens of megabytes of them before it looks. Handing them over to a port that nobody listens to frees them.
 */
export const letGo = (value: unknown): void => {
  if (nowhere === null) {
    const { port1, port2 } = new MessageChannel()
    port2.close()
    port1.unref()
    nowhere = port1
  }
  nowhere.postMessage(null, buffersOf(value))
}
