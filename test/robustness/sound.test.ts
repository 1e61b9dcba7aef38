import { testArea } from './area-tests.js'
import { sound } from './areas/sound.js'

testArea(sound)
