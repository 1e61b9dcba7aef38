import { packedCloseUp } from './close-up/packed-close-up.js'
import { passageLooks } from './listen/looks-task.js'
import { passage, passageRoom } from './listen/passage-task.js'
import { waveform } from './waveform/waveform-task.js'

/** What this room does in worker threads. */
export const reportTasks = { packedCloseUp, passageLooks, passage, passageRoom, waveform }
