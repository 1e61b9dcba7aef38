import { testArea } from './area-tests.js'
import { documents } from './areas/documents.js'

testArea(documents)
