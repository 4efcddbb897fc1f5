/** What the verdict words mean, and the rule that decides between them. */
import { shapeSvg, verdictOrder, verdictStyles } from '../words.ts';

export function guideHtml(): string {
  const words = verdictOrder.map((word) => {
    const style = verdictStyles[word];
    return `<div class="meaning is-${word}"><dt>${shapeSvg(word)}<b>${word}</b></dt><dd>${style.meaning}<br><span>${style.rule}</span></dd></div>`;
  });
  return `<section class="guide" aria-labelledby="guide-title">
<h2 id="guide-title">How to read the words</h2>
<div class="guide-columns">
<dl class="meanings">${words.join('')}</dl>
<figure class="guard">${guardBandSvg()}
<figcaption>U is the expanded uncertainty (k = 2, about 95 %). The limits are drawn in by U to pass and pushed out by U to fail, following ISO 14253-1 and JCGM 106; what falls between is in doubt. Deviation is measured loss minus the loss of the law: a positive deviation is too quiet. Each point is the mean of an upward and a downward approach.</figcaption></figure>
</div>
</section>`;
}

/** The zones along one axis of deviation, limits at 100 and 340, U of 34. */
function guardBandSvg(): string {
  const zone = (word: string, x: number, width: number): string =>
    `<rect class="zone is-${word}" x="${x}" y="26" width="${width}" height="34"/>` +
    `<text class="zone-word" x="${x + width / 2}" y="47">${word}</text>`;
  const limit = (x: number, text: string): string =>
    `<path class="limit" d="M${x} 14V33M${x} 53V67"/><text class="limit-word" x="${x}" y="10">${text}</text>`;
  const reach = (x: number): string =>
    `<path class="reach" d="M${x - 34} 72H${x}M${x} 72H${x + 34}M${x - 34} 69V75M${x} 69V75M${x + 34} 69V75"/>` +
    `<text class="limit-word" x="${x - 17}" y="88">U</text><text class="limit-word" x="${x + 17}" y="88">U</text>`;
  return (
    `<svg class="guard-picture" viewBox="0 0 440 92" role="img" aria-label="From left to right: fail, doubt around the lower limit, pass, doubt around the upper limit, fail.">` +
    zone('fail', 0, 66) +
    zone('doubt', 66, 68) +
    zone('pass', 134, 172) +
    zone('doubt', 306, 68) +
    zone('fail', 374, 66) +
    limit(100, 'lower limit') +
    limit(340, 'upper limit') +
    reach(100) +
    reach(340) +
    `</svg>`
  );
}
