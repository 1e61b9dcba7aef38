import { closeUp } from './close-up/close-up-task.js'
import { passageLooks } from './listen/looks-task.js'
import { passage, passageRoom } from './listen/passage-task.js'
import { waveform } from './waveform/waveform-task.js'

/** What this room does in worker threads. */
export const reportTasks = { closeUp, passageLooks, passage, passageRoom, waveform }
