import { existsSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { connect, createServer, type Server, type Socket } from 'node:net';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import type { Role } from '../../node/core/roles.ts';
import { type NodeProcess, until } from './node-process.ts';
import { pair } from './remote.ts';

const CHROMIUM = '/usr/bin/chromium';
const QUIET = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

export const PHONE = { width: 390, height: 844 };
export const LAPTOP = { width: 1440, height: 900 };

/** Debian's Chromium, without a window. */
export function openBrowser(): Promise<Browser> {
  if (!existsSync(CHROMIUM)) throw new Error(`These tests need ${CHROMIUM}: apt-get install chromium`);
  return chromium.launch({ executablePath: CHROMIUM, args: QUIET });
}

/** The venue's network between a phone and the node: it can be cut and mended. */
export class Cable {
  readonly #server: Server;
  readonly #sockets = new Set<Socket>();
  #isCut = false;

  private constructor(target: URL) {
    this.#server = createServer((phone) => {
      if (this.#isCut) return void phone.destroy();
      const node = connect(Number(target.port), target.hostname);
      for (const [one, other] of [
        [phone, node],
        [node, phone],
      ] as const) {
        this.#sockets.add(one);
        one.on('error', () => undefined);
        one.on('close', () => {
          this.#sockets.delete(one);
          other.destroy();
        });
        one.pipe(other);
      }
    });
  }

  static async lay(to: string): Promise<Cable> {
    const cable = new Cable(new URL(to));
    await new Promise<void>((done) => cable.#server.listen(0, '127.0.0.1', done));
    return cable;
  }

  get url(): string {
    return `http://127.0.0.1:${(this.#server.address() as AddressInfo).port}`;
  }

  cut(): void {
    this.#isCut = true;
    for (const socket of this.#sockets) socket.destroy();
  }

  /** Nothing comes through any more and nobody is told: the phone has walked out of reach. {@link mend} does not bring it back. */
  hush(): void {
    this.#isCut = true;
    for (const socket of this.#sockets) socket.unpipe().pause();
  }

  mend(): void {
    this.#isCut = false;
  }

  remove(): void {
    this.cut();
    this.#server.close();
  }
}

/** A paired phone (or laptop) with its page open on Tonight. */
export async function pairedPage(
  browser: Browser,
  node: NodeProcess,
  { role = 'operator', viewport = PHONE, url = node.file.url }: { role?: Role; viewport?: typeof PHONE; url?: string } = {},
): Promise<{ page: Page; context: BrowserContext }> {
  const context = await browser.newContext({ viewport, hasTouch: viewport === PHONE, reducedMotion: 'reduce' });
  const [name = '', value = ''] = (await node.phone(role, () => pair(node, role))).split('=');
  await context.addCookies([{ name, value, url, httpOnly: true, sameSite: 'Strict' }]);
  const page = await context.newPage();
  await page.goto(url);
  await page.locator('.tonight').waitFor();
  return { page, context };
}

/** The strongest of red, green and blue. */
export type Painted = 'red' | 'green' | 'blue' | 'dark';

/** Waits until the picture of the room on the bench is so, as the screen has it, at a share of its width and height. */
export const paintsAt = (page: Page, x: number, y: number, wanted: Painted): Promise<true> =>
  until(`a picture that is ${wanted} at ${x}, ${y}`, async () => ((await paintedAt(page, x, y)) === wanted ? true : undefined));

async function paintedAt(page: Page, x: number, y: number): Promise<Painted> {
  const png = (await page.locator('.bench-picture canvas').screenshot()).toString('base64');
  return page.evaluate(
    async ([bytes, across, down]) => {
      const image = new Image();
      image.src = `data:image/png;base64,${bytes}`;
      await image.decode();
      const canvas = new OffscreenCanvas(image.width, image.height);
      const context = canvas.getContext('2d') as OffscreenCanvasRenderingContext2D;
      context.drawImage(image, 0, 0);
      const [red = 0, green = 0, blue = 0] = context.getImageData(image.width * across, image.height * down, 1, 1).data;
      const most = Math.max(red, green, blue);
      return most < 50 ? 'dark' : most === red ? 'red' : most === green ? 'green' : 'blue';
    },
    [png, x, y] as const,
  );
}
