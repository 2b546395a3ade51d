import { effect, signal } from '@preact/signals';
import { connection } from '../connection.ts';
import { standings } from '../parts/address.ts';
import { hello, levelsOf, wireReport } from '../state.ts';
import { endWithPage } from './held.ts';
import { changedLately, sameSet, WireLevels } from './levels.ts';
import { laptop } from './page.ts';
import { type Sample, withReport } from './rates.ts';

export const levels = new WireLevels();
export const samples = signal<readonly Sample[]>([]);
/** Ids of fixtures that have changed lately. */
export const lately = signal<ReadonlySet<string>>(new Set());
/** Follows the levels slowly enough to read: figures in words are drawn anew with it. */
export const pulse = signal(0);

/** Frames a second: a laptop has the room to show them, a phone the battery to save. */
const ON_A_LAPTOP = 30;
const ON_A_PHONE = 10;
const LOOK_EVERY = 250;

/** Follows one universe. What its signal holds at first may be old: only what comes after it counts. */
function follow(universe: number): () => void {
  const source = levelsOf(universe);
  let first = true;
  return effect(() => {
    const slots = source.value;
    if (first) {
      first = false;
      return;
    }
    levels.take(universe, slots, performance.now());
  });
}

function followShow(): () => void {
  let ends: (() => void)[] = [];
  let followed: unknown;
  const stop = effect(() => {
    const show = hello.value?.show;
    const key = JSON.stringify(show?.fixtures.flatMap(standings).map(({ id, universe, address }) => [id, universe, address]));
    if (show === undefined || key === followed) return;
    followed = key;
    for (const one of ends) one();
    levels.clear();
    ends = [...new Set(show.fixtures.flatMap(standings).map(({ universe }) => universe))].map(follow);
  });
  return () => {
    stop();
    for (const one of ends) one();
  };
}

function look(): void {
  const fixtures = hello.peek()?.show.fixtures ?? [];
  const changed = changedLately(fixtures, levels, performance.now());
  if (!sameSet(changed, lately.peek())) lately.value = changed;
  pulse.value = levels.total;
}

/** Watches the wire until the returned function is called, and only while the page can be seen. What is driven by hand ends with it. */
export function watch(): () => void {
  const seen = signal(true);
  const looked = (): void => {
    seen.value = document.visibilityState === 'visible';
  };
  looked();
  document.addEventListener('visibilitychange', looked);
  const stale = wireReport.peek();
  samples.value = [];
  const ends = [
    effect(() => connection.watchWire(!seen.value ? 0 : laptop.value ? ON_A_LAPTOP : ON_A_PHONE)),
    effect(() => {
      const report = wireReport.value;
      if (report !== undefined && report !== stale) samples.value = withReport(samples.peek(), report, performance.now());
    }),
    followShow(),
    endWithPage(),
  ];
  const timer = setInterval(look, LOOK_EVERY);
  return () => {
    for (const one of ends) one();
    clearInterval(timer);
    document.removeEventListener('visibilitychange', looked);
    connection.watchWire(0);
  };
}
