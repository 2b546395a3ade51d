import { readFileSync } from 'node:fs';
import { cruise } from 'dependency-cruiser';
import config, { pure } from '../.dependency-cruiser.mjs';

/**
 * Checks the import table, and that the checker has read anything at all: with a TypeScript that it cannot drive it cruises nothing and

 * passes. Clocks, timers and randomness need no import, so they are looked for in the text.
 */
const impure = /\b(Date\.now|new Date|performance\.|set(Timeout|Interval|Immediate)|Math\.random|console\.|process\.)/;
const { forbidden, options } = config;
const { output } = await cruise(['node', 'ui/src'], { ...options, ruleSet: { forbidden }, validate: true });
const { modules, summary } = output;

const own = modules.filter(({ source }) => /^(node|ui)\//.test(source));
const followed = own.reduce((sum, { dependencies }) => sum + dependencies.length, 0);
for (const { rule, from, to } of summary.violations) console.error(`${rule.name}: ${from} imports ${to}`);
for (const { source } of own) {
  const found = pure.some((folder) => source.startsWith(`node/${folder}/`)) ? impure.exec(readFileSync(source, 'utf8')) : null;
  if (found === null) continue;
  console.error(`pure-is-pure: ${source} has ${found[0]}`);
  process.exitCode = 1;
}
// The web app takes types alone from the contract: its schemas would bring a validator into the bundle.
for (const { source } of own) {
  if (!source.startsWith('ui/') || !/import (?!type\b)[^;]*api\/contract/.test(readFileSync(source, 'utf8'))) continue;
  console.error(`types-only: ${source} imports more than types from the contract`);
  process.exitCode = 1;
}
if (own.length < 40 || followed < 100) {
  console.error(`The checker read ${own.length} modules with ${followed} imports: too few to believe`);
  process.exitCode = 1;
}
if (summary.violations.length > 0) process.exitCode = 1;
if (process.exitCode === undefined) console.log(`Imports: ${own.length} modules, ${followed} imports, all within the table`);
