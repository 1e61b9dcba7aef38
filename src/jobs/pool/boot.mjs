// Starts a TypeScript module in a worker thread: from source only, never part of the package (see entry.ts).
import { workerData } from 'node:worker_threads'
import { register } from 'tsx/esm/api'

register()
await import(workerData.module)
