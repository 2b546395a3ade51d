/** Draws the PNG icons from icon.svg with the browser on this machine: `node ui/draw-icons.mjs`. Their sizes are what installers ask for. */
import { readFile } from 'node:fs/promises';
import { chromium } from 'playwright-core';

const folder = new URL('./public/icons/', import.meta.url);
const svg = await readFile(new URL('icon.svg', folder), 'utf8');
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu'],
});
for (const size of [192, 512]) {
  const page = await browser.newPage({ viewport: { width: size, height: size } });
  await page.setContent(
    `<body style="margin:0">${svg.replace('<svg ', `<svg width="${size}" height="${size}" style="display:block" `)}`,
  );
  await page.screenshot({ path: new URL(`icon-${size}.png`, folder).pathname });
}
await browser.close();
