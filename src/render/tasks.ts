import { checksumOf } from './checksum-of.js'
import { renderStems } from './render-stem.js'
import { surveyQuiet } from './survey-quiet.js'
import { surveyHead, surveyStem } from './survey-stem.js'

/** The work of this room that may run in other threads: plain data in and out, one recording at a time, or stems that have recordings in common. */
export const renderTasks = { checksumOf, renderStems, surveyStem, surveyHead, surveyQuiet }
