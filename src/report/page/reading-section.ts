import type { Report } from '../report.js'
import { fixed } from '../words/figures.js'
import { html, type Markup } from './markup.js'

/** What the words on the page mean, and the two cautions. */
export const readingSection = (
  report: Report,
): Markup => html`<section class="reading" aria-labelledby="reading"><h3 id="reading">How to read this page</h3>
<ul>
<li><b>Lag</b>: how late a source arrives. Plus is late against the reference. ± is the larger of two figures: how exactly the lag is known, and how much it differs between the octaves (a path's own delay, not an error).</li>
<li><b>Air</b>: the lag as a length of air, at ${fixed(report.temperatureCelsius, 0)} °C and ${fixed(report.speedOfSoundMetresPerSecond, 1)} m/s. Cables, converters and wood add to it.</li>
<li><b>Verdict</b>: sure; unsure (play it before you trust it); unknown. What is not sure stays as it was recorded.</li>
<li><b>Loss</b>: what the sound that the parts share loses by not being in phase. 0 dB: nothing lost.</li>
<li><b>Evenness</b>: how much the loss differs from note to note. Small: every note keeps its tone. <b>First notch</b>: the lowest frequency that loses more than 6 dB.</li>
</ul>
<p class="caution"><b>Take care.</b> Start low when you listen: parts that no longer cancel are louder. Where a recording hums, find the loop or lift the signal ground with an isolating transformer; never defeat the safety earth of a mains plug.</p>
</section>`
