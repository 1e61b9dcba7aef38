import { CHARTS } from './charts.js'
import { DESK } from './desk.js'
import { INK } from './ink.js'
import { LAYOUT } from './layout.js'
import { PRINT } from './print.js'
import { TABLES } from './tables.js'
import { TYPE } from './type.js'

/** The one style sheet of the page. */
export const STYLE_SHEET = [INK, TYPE, LAYOUT, TABLES, CHARTS, DESK, PRINT].join('')
