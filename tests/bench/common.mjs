import process from 'node:process';
import { fileURLToPath } from 'node:url';

/** What is measured is the compiled node. */
export const builtUrl = (path) => new URL(`../../dist/node/${path}`, import.meta.url);
export const built = (path) => import(builtUrl(path).href);
export const file = (path) => fileURLToPath(new URL(path, import.meta.url));

export const HOST = '127.0.0.1';
/** Milliseconds by the monotonic clock, which all processes of a machine share. */
export const now = () => Number(process.hrtime.bigint()) / 1e6;
export const pause = (millis) => new Promise((resolve) => setTimeout(resolve, millis));
/** A turn of the event loop: callbacks of what was sent come in. */
export const turn = () => new Promise((resolve) => setImmediate(resolve));

/** The value below which `share` of the values lie. */
export function quantile(values, share) {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
}
export const median = (values) => quantile(values, 0.5);

const LEVELS = '·▁▂▃▄▅▆▇█';
const EDGES = [0.25, 0.5, 1, 2, 4, 8, 16, 32, 64];

/** How values of milliseconds are spread, on one line: a bar for each doubling from a quarter of a millisecond. */
export function histogram(values) {
  const counts = EDGES.map((edge, i) => values.filter((one) => one <= edge && (i === 0 || one > EDGES[i - 1])).length);
  counts.push(values.filter((one) => one > EDGES.at(-1)).length);
  const most = Math.log1p(Math.max(...counts));
  const bars = counts.map((count) => LEVELS[Math.ceil((Math.log1p(count) / most) * (LEVELS.length - 1))]).join('');
  return `${bars}  ${counts.map((count, i) => `${i < EDGES.length ? `≤${EDGES[i]}` : `>${EDGES.at(-1)}`} ${count}`).join(', ')} ms`;
}

/** What a part of the bench hands to `main.mjs`. */
export function report(result) {
  process.send?.(result, () => process.exit(0));
}
