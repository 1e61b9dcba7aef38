import { checksumOf } from './checksum-of.js'
import { renderStem } from './render-stem.js'
import { surveyQuiet } from './survey-quiet.js'
import { surveyHead, surveyStem } from './survey-stem.js'

/** The work of this room that may run in other threads: plain data in and out, one stem or one recording at a time. */
export const renderTasks = { checksumOf, renderStem, surveyStem, surveyHead, surveyQuiet }
